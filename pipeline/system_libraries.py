"""placeholder"""


def message(reason: str) -> str:
    return reason
