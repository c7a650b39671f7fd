"""Ways of doing a layout set against one another, its free choices tuned, a pattern fitted to a plate.

Everything here works on settled plans and on the stages below it; which recipe
they come from, and in what order the stages run, is `study`'s.
"""
