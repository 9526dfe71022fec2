"""The preview: the site of a folder that is being written, on this machine, drawn again with every save."""
