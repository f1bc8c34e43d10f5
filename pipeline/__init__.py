"""What happens to a design, from its file to figures, pictures and geometry.

Read in this order: ``make`` (the stages called one after the other), ``load`` and ``design`` (what
was asked), ``ball`` (what exists), ``weigh`` and ``axes`` (mass properties), ``prove`` (the same by
three routes), ``check`` (limits), then the writers: ``picture``, ``step``, ``stl``, ``handover``.
The command line, ``cli``, only parses words, calls one stage and prints.
"""
