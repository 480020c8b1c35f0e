"""What a coach shows or sends to one client: one content, drawn as a page, as HTML of one file and as PDF."""
