"""A practice folder as a workbook, and back: what was edited in a spreadsheet becomes edits of the folder's files."""
