"""The handbook on the web: cards as HTML, with all that the pages need."""
