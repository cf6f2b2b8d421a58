"""How a text is spelt as one value of YAML: plain where it may be, else in double quotes."""

from __future__ import annotations

import json
import re

from felt_engine.reading.yaml_tree import NOTHING


def in_yaml(text: str) -> str:
    """The text as YAML takes it, in a flow as well."""
    return text if _is_plain(text) else json.dumps(text, ensure_ascii=False)


def _is_plain(text: str) -> bool:
    if text in NOTHING or not re.match(r"[0-9A-Za-zµμ½¼¾⅓⅔⅛⅜⅝⅞]", text) or text != text.strip():
        return False
    return not re.search(r"[,\[\]{}#\"'\n]|: |:$", text)


__all__ = ["in_yaml"]
