"""construct: a verifier for layouts made by hand with compass, straightedge and ruler.

The public door is `construct.study.study`.  This file imports nothing, so that
the certificate checker in `construct.proofs.checker` runs on the standard
library alone.
"""

__version__ = "0.1.0"
