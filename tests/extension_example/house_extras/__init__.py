"""What one practice adds to kitdocs."""

from pathlib import Path

#: The working end of its mirrors, 18 × 22 mm.
MIRROR = Path(__file__).parent / "mirror.svg"
