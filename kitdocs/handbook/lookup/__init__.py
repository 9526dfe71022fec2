"""Pages for looking things up on a screen, by procedure or by picture. They are on the site only, never printed."""
