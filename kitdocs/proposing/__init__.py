"""The designs that a practice could have: which sets and pouches there could be, what is in each, who takes which.

A program of whole numbers finds designs that are cheap by rule of thumb (`program.py`), the plan itself judges them
(`judge.py`), and small changes are tried until none helps (`search.py`).
"""
