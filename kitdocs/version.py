"""The version of kitdocs, in the one place that its metadata and `kitdocs --version` read it from."""

__version__ = "1.0.0"
