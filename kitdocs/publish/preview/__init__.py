"""The preview: the site of a folder that is being written, on this machine, drawn again with every save."""

#: Port of the preview when nobody chooses one.
USUAL_PORT = 8137
