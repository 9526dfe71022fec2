"""The handbook on paper: cards as PDF, set by Typst, their codes read back."""
