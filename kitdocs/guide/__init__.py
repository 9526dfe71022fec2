"""The guide to kitdocs: Markdown, and what kitdocs knows of itself, as cards that are drawn like a handbook's."""
