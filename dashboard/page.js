// On a phone the list of pages lies over the page: once one is chosen, it goes.
addEventListener("click", event => {
    if (innerWidth < 768 && event.target.closest('[data-testid="stSidebarNavLink"]'))
        document.querySelector('[data-testid="stSidebarCollapseButton"] button')?.click();
});
