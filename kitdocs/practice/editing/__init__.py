"""Changing single values in the files of a practice folder: what is not changed keeps every byte, comments too."""
