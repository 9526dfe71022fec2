"""``python -m kitdocs``."""

from kitdocs.cli import main

main()
