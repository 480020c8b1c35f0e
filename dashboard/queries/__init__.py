"""Questions to the store, one function each; every answer is a frame of kept rows."""
