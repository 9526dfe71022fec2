"""What makes sheets a binder: its cover, and labels that stay when sheets are exchanged."""
