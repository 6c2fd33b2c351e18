"""How each kind of fence is written as HTML: a module each, of the same name as in course/fences."""
