"""Ids that built-in rules had: what each is called now, or why there is no such rule any more.

An id is never used for another rule. Studio files and waivers that still name one are answered with
what stands here. ``now`` is today's id and is left out of a retired rule's entry; ``since`` is the
release that changed it; ``why`` says what became of it, in a sentence for whoever wrote the old name.
"""

# "id that was": {"now": "id that is", "since": "0.2.0", "why": "It looks at more than ..."}
FORMER: dict[str, dict[str, str]] = {}
