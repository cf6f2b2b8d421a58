"""A fibre, a use and a caution of the studio. Invented figures, as an example."""

from __future__ import annotations

from felt_engine import Caution, FibreEntry, Span, UseEntry

_OURS = "six swatches of our own"

DUNE_CROSS = FibreEntry(
    name="dune cross",
    group="wool",
    felts=Span(0.55, 0.7, 0.85),
    density=1310.0,
    diameter=Span(26e-6, 29e-6, 32e-6),
    legal=(("eu", "wool"), ("us", "wool")),
    also=("dune wool",),
    note="From the flock on the dunes; each fleece differs.",
    sources=(
        ("felts", _OURS, "measured"),
        ("diameter", "the shearer's word", "common practice, no source"),
        ("density", "as other wool in the table", "from memory"),
    ),
)

FLOAT_COVER = UseEntry(
    name="float cover",
    low=0.30,
    high=0.60,
    bare_caution=0.03,
    bare_fault=0.08,
    also=("fender sleeve",),
    note="Around a net float or a fender: thick, and wet all its life.",
    sources=(("band", _OURS, "measured"),),
)

WET_FLOOR = Caution(
    about="wet floor",
    says="Our boards are slippery when soapy: mats down first, and mop before you walk.",
    when="steps that wet, rinse or throw",
    source="what is said before our classes begin (common practice, no source)",
)
