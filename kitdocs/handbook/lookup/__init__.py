"""Pages to look things up on a screen: by procedure, by picture. They are on the site only and have no printed copy."""
