"""Figures on items, cuts and consistency, never without their n."""
