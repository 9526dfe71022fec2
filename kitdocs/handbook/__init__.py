"""handbook"""
