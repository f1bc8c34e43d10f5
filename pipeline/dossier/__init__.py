"""The review document: what a reviewer must see of a design, as a page and as a PDF."""
