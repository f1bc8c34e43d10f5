"""Files that a design refers to: read once, from the design's own folder."""

from __future__ import annotations

import stat
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any

from pipeline.document import Node, Scalar
from pipeline.fields import Bad, Reading, nearest
from shapes.attachment import Attachment

MOST_BYTES = 64 * 1024 * 1024


@dataclass(frozen=True)
class FileKind:
    """A file beside the design or in a folder below it."""

    what: str = "a file"

    @property
    def allowed(self) -> str:
        return f"the name of {self.what} in the design's folder, or below it, with forward slashes"

    def read(self, node: Node, path: str, reading: Reading) -> Attachment | Bad:
        if not isinstance(node, Scalar) or not node.text:
            return reading.refuse(node, node.line, path, self.allowed)

        def refuse(why: str, advice: str = "") -> Bad:
            return reading.refuse(node, node.line, path, self.allowed, why, advice)

        name = node.text
        if name in reading.files:
            return reading.files[name]
        if reading.folder is None:
            return refuse("this design was not read from a file, so it has no folder")
        bare = PurePosixPath(name)
        if bare.is_absolute() or PureWindowsPath(name).drive or "\\" in name:
            return refuse("it is no plain relative name", "put the file beside the design")
        if ".." in bare.parts:
            return refuse("it leaves the design's folder", "put the file beside the design")
        try:
            found = reading.folder / bare
            if not found.resolve().is_relative_to(reading.folder.resolve()):
                return refuse(
                    "it is a link out of the design's folder", "put the file itself there"
                )
            about = found.stat()
            if not stat.S_ISREG(about.st_mode):
                return refuse(f"{found} is no regular file")
            if about.st_size > MOST_BYTES:
                return refuse(f"it holds {about.st_size / 2**20:.0f} MB, more than 64")
            data = found.read_bytes()
        except FileNotFoundError:
            there = _beside(reading.folder, bare)
            return refuse("there is no such file", nearest(name, there))
        except (OSError, ValueError, RuntimeError) as error:  # RuntimeError: links in a circle
            return refuse(f"it cannot be read: {getattr(error, 'strerror', '') or error}")
        if len(data) > MOST_BYTES:  # it grew, or never told its size
            return refuse("it holds more than 64 MB")
        reading.files[name] = Attachment(bare.as_posix(), data)
        return reading.files[name]

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "minLength": 1}


def _beside(folder: Path, name: PurePosixPath) -> list[str]:
    """The files in the folder where one was looked for, by their names in a design."""
    place = (folder / name).parent
    if not place.is_dir():
        return []
    return sorted(p.relative_to(folder).as_posix() for p in place.iterdir() if p.is_file())
