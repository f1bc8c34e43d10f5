"""Geometry of core and ball parts: solids and their exact moments, in millimetres.

Nothing here knows of balls, weights, rules or files.  Read in this order:
``moments`` (the value that is added, subtracted and moved), ``placement``, ``shape`` (what every
family must tell of itself), ``sphere`` to ``turned`` (one family a file), ``registry`` (the list of
families), ``halfplane`` (how coaxial bodies share space), and last the files that open the CAD
kernel: ``solid``, ``boundary`` and ``facets``.
"""
