"""kitdocs"""
