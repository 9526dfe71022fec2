"""Pictures from parameters: instruments, marks, cassette layouts, step pictures, the room, charts, codes.

Parameters in, SVG out, the same on screen and paper. Nothing here knows a practice or a card.
"""
