"""Files for elsewhere, each in an open form."""
