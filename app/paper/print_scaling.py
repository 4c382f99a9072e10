"""A wish put into a PDF file: that its pages be printed at their own size, not shrunk to fit (ISO 32000-1, 12.2)."""
from __future__ import annotations

import re

_TRAILER = re.compile(rb"trailer\s*<<(?P<entries>.*?)>>\s*startxref\s*(?P<at>\d+)\s*%%EOF\s*$", re.DOTALL)
_WISH = b"/ViewerPreferences << /PrintScaling /None >>\n"


def at_own_size(pdf: bytes) -> bytes:
    """The file with the wish appended as an update (7.5.6); unchanged when it is not built as ours are.

    Dialogs that heed it then offer "actual size" by themselves; the bars on the page are for all the others.
    """
    trailer = _TRAILER.search(pdf)
    root = re.search(rb"/Root (\d+) 0 R", trailer["entries"]) if trailer else None
    if trailer is None or root is None:
        return pdf
    catalog = re.search(rb"(?:^|\n)" + root[1] + rb" 0 obj\s*<<(.*?)>>\s*endobj", pdf, re.DOTALL)
    if catalog is None or b"<<" in catalog[1]:
        return pdf
    updated = root[1] + b" 0 obj\n<<" + catalog[1] + _WISH + b">>\nendobj\n"
    start = len(pdf) + 1
    table = b"xref\n" + root[1] + b" 1\n" + f"{start:010d} 00000 n \n".encode()
    after = b"trailer\n<<" + trailer["entries"] + b"/Prev " + trailer["at"] + b"\n>>\n"
    end = f"startxref\n{start + len(updated)}\n%%EOF\n".encode()
    return pdf + b"\n" + updated + table + after + end
