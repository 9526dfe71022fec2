"""Cards as plain data: what is said, in which order, in which language; drawn by ``kitdocs.publish``."""
