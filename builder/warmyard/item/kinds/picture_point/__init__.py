"""Point at a part of a drawing."""
