"""What felt is made for: usual layout weights and how bare each use may be, with their sources.

Weights are g/m2 of the whole stack as laid out, before felting.
"""

# Standing of a source: "verified", "from memory", or "common practice, no source".
SOURCES: dict[str, tuple[str, str]] = {
    "layout-weights": (
        "usual project weights for this kind of work, put on the layout area",
        "common practice, no source",
    ),
    "by-likeness": (
        "set by likeness to the better known uses; trust it less than theirs",
        "common practice, no source",
    ),
    "anything": (
        "from the lightest cobweb to the heaviest rug, since a swatch may stand for either",
        "common practice, no source",
    ),
    "bare-index": (
        "bare index of hand-laid top at which a series of fine merino samples of two crossed"
        " layers stopped being sound cloth: many thin patches at 50 g/m2, none at 100",
        "from memory",
    ),
    "crossed-samples": (
        "the same sample series, read for draping cloth: 60 g/m2 is usable, 50 has many thin"
        " patches (fineness of 18.5 um assumed)",
        "from memory",
    ),
    "open-work": (
        "chosen so that the light end of the use's own band is still right",
        "common practice, no source",
    ),
}

# band: low, high in g/m2. open: holes are the point. one_way: fibre along it alone is right.
# relief: thick beside thin is part of it, and weight to the area says little.
# walls: its two faces on a flat resist are walls of one thing, and to come out alike (common practice,
# no source). What stands or walks on its back (bowl, pet cave, slippers, boots) may have it heavier.
# bare: bare index at which thin places become a caution, and a fault.
USES: dict[str, dict[str, object]] = {
    # --- pictures and hangings
    "picture ground": {
        "also": ("felt painting", "wool painting", "felt picture", "picture"),
        "band": (300.0, 600.0, "layout-weights"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Carries the picture, so it has to lie flat and hide its base.",
    },
    "wall panel": {
        "also": ("wall hanging", "hanging", "panel", "felt tapestry"),
        "band": (300.0, 800.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "As a picture ground, heavier when it hangs free.",
    },
    # --- cloth that drapes: a few thin places are part of it
    "scarf": {
        "also": ("stole", "neck scarf"),
        "band": (60.0, 150.0, "layout-weights"),
        "open": False,
        "bare": (0.08, 0.2, "crossed-samples"),
        "note": "Two fine crossed layers are a scarf, not two thin layers.",
    },
    "wrap": {
        "also": ("shawl",),
        "band": (60.0, 150.0, "layout-weights"),
        "open": False,
        "bare": (0.08, 0.2, "crossed-samples"),
        "note": "As a scarf; 60 g/m2 of fine merino drapes well.",
    },
    "garment cloth": {
        "also": (
            "garment",
            "jacket cloth",
            "dress cloth",
            "waistcoat",
            "vest",
            "jacket",
            "coat",
            "dress",
        ),
        "band": (120.0, 300.0, "layout-weights"),
        "walls": True,
        "open": False,
        "bare": (0.08, 0.2, "crossed-samples"),
        "note": "Even and light; the cut may fall anywhere.",
    },
    "nuno cloth": {
        "also": ("nuno", "nuno felt", "nuno scarf"),
        "band": (40.0, 180.0, "by-likeness"),
        "open": False,
        "bare": (0.08, 0.2, "crossed-samples"),
        "note": "Weight of the wool alone; open cloth carries the piece.",
    },
    "blanket": {
        "also": ("throw", "baby blanket"),
        "band": (200.0, 500.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Warm and soft rather than hard; large, so mind the tools.",
    },
    # --- holes are the point
    "cobweb": {
        "also": ("cobweb felt", "cobweb scarf", "cobweb shawl"),
        "band": (30.0, 80.0, "layout-weights"),
        "open": True,
        "bare": (0.4, 0.6, "open-work"),
        "note": "Holes are the point; the wool between them must still hold.",
    },
    "openwork": {
        "also": ("lace felt", "felt lace", "net felt"),
        "band": (40.0, 250.0, "by-likeness"),
        "open": True,
        "bare": (0.4, 0.6, "open-work"),
        "note": "Strands with gaps: judge the strands, not the gaps.",
    },
    # --- bags and cases
    "bag": {
        "also": ("handbag", "tote", "backpack"),
        "band": (350.0, 900.0, "layout-weights"),
        "walls": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Takes a load at the handles; wants even walls.",
    },
    "purse": {
        "also": ("pouch", "coin purse", "clutch"),
        "band": (300.0, 700.0, "by-likeness"),
        "walls": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Small and handled all day, so firm.",
    },
    "case": {
        "also": ("sleeve", "phone case", "laptop sleeve", "spectacle case"),
        "band": (350.0, 800.0, "by-likeness"),
        "walls": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Finished size matters most: it has to fit what goes in.",
    },
    "soap wrap": {
        "also": ("felted soap", "wrapped soap"),
        "band": (400.0, 1600.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Laid on the bar's two faces, but it covers its sides too; the soap stays in.",
    },
    # --- worn on head, hands and feet
    "hat": {
        "also": ("felt hat", "cloche", "brimmed hat", "cap"),
        "band": (350.0, 700.0, "layout-weights"),
        "walls": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Blocked while wet; a thin crown shows the light.",
    },
    "beret": {
        "also": (),
        "band": (250.0, 550.0, "by-likeness"),
        "walls": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Softer than a hat; drawn in at the opening.",
    },
    "mittens": {
        "also": ("mitten", "mitts", "gloves", "wrist warmers"),
        "band": (250.0, 600.0, "by-likeness"),
        "walls": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Supple at the thumb, firm in the palm.",
    },
    "slippers": {
        "also": ("slipper", "house shoes", "felt shoes"),
        "band": (500.0, 1200.0, "layout-weights"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Soles are often laid heavier on purpose.",
    },
    "booties": {
        "also": ("baby booties", "baby slippers", "baby shoes"),
        "band": (250.0, 700.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Fine wool, light and soft; a seam or ridge inside is felt.",
    },
    "boots": {
        "also": ("boot", "felt boots"),
        "band": (600.0, 1400.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Hard-fulled; soles heavier still.",
    },
    "insoles": {
        "also": ("insole",),
        "band": (600.0, 1500.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Coarse wool, flat and hard.",
    },
    # --- hollow and solid forms
    "vessel": {
        "also": ("pod", "vase"),
        "band": (600.0, 1200.0, "layout-weights"),
        "walls": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Stands by its own firmness.",
    },
    "bowl": {
        "also": (),
        "band": (500.0, 1200.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Open vessel; the rim is the weak place.",
    },
    "lampshade": {
        "also": ("lamp shade", "lantern"),
        "band": (100.0, 400.0, "by-likeness"),
        "walls": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Every thin place shows when the lamp is on.",
    },
    "sculpture": {
        "also": ("figure", "felt sculpture"),
        "band": (600.0, 1200.0, "layout-weights"),
        "relief": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Has to hold its shape; relief is intended.",
    },
    "mask": {
        "also": (),
        "band": (350.0, 900.0, "by-likeness"),
        "relief": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Shaped over a form; firm at the eyes.",
    },
    "toy sheet": {
        "also": ("toy", "toy skin"),
        "band": (300.0, 900.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Must not shed or tear in small hands.",
    },
    "pet cave": {
        "also": ("cat cave",),
        "band": (700.0, 1500.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Large and stiff, in strong wool.",
    },
    "tea cosy": {
        "also": ("egg cosy", "cosy"),
        "band": (350.0, 800.0, "by-likeness"),
        "walls": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Thick enough to keep the heat.",
    },
    "ornament": {
        "also": ("ball", "felt ball", "bauble", "bead"),
        "band": (250.0, 2000.0, "by-likeness"),
        "relief": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Wound or hollow, so weight to the area says little.",
    },
    # --- for the house
    "cushion": {
        "also": ("cushion cover", "pillow"),
        "band": (300.0, 700.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Rubbed and sat on; the stuffing must not show.",
    },
    "seat pad": {
        "also": ("chair pad", "seat cushion"),
        "band": (800.0, 2000.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Thick and hard so that it keeps its form.",
    },
    "rug": {
        "also": ("felt rug", "carpet", "floor mat"),
        "band": (1000.0, 2500.0, "layout-weights"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Strong wool, hard-fulled.",
    },
    "trivet": {
        "also": ("coaster", "pot mat"),
        "band": (600.0, 1500.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Thick, flat, all wool: no fibre that melts.",
    },
    "table runner": {
        "also": ("runner", "place mat", "table mat"),
        "band": (200.0, 600.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Lies flat and gets washed.",
    },
    "bookcover": {
        "also": ("book cover", "notebook cover"),
        "band": (300.0, 700.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Folds at the spine, so firm and not thick.",
    },
    # --- small things to wear
    "brooch sheet": {
        "also": ("brooch",),
        "band": (250.0, 700.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Small: all of it is near a rim.",
    },
    "jewellery sheet": {
        "also": ("jewellery", "earrings", "pendant"),
        "band": (250.0, 800.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Cut small, so it has to be firm right through.",
    },
    "flower": {
        "also": ("felt flower",),
        "band": (120.0, 500.0, "by-likeness"),
        "relief": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Petals thin, heart thick, on purpose.",
    },
    "collar": {
        "also": ("neck piece", "cowl"),
        "band": (150.0, 450.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Lies against the skin: soft wool.",
    },
    "cuff": {
        "also": ("bracelet",),
        "band": (250.0, 700.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Takes knocks; firm.",
    },
    "belt": {
        "also": ("strap", "bag strap"),
        "band": (500.0, 1500.0, "by-likeness"),
        "one_way": True,
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Pulled lengthways: fibre along the strap is right.",
    },
    # --- sheets and samples
    "prefelt sheet": {
        "also": ("a sheet to cut up later", "half felt"),
        "band": (60.0, 250.0, "by-likeness"),
        "open": False,
        "bare": (0.08, 0.2, "crossed-samples"),
        "note": "Barely bound; felted again when it is laid into a piece.",
    },
    "craft sheet": {
        "also": ("felt sheet", "flat felt"),
        "band": (200.0, 600.0, "by-likeness"),
        "open": False,
        "bare": (0.03, 0.08, "bare-index"),
        "note": "Even and firm enough to cut.",
    },
    "swatch": {
        "also": ("sample", "test piece"),
        "band": (30.0, 2500.0, "anything"),
        "one_way": True,
        "open": False,
        "bare": (0.4, 0.6, "open-work"),
        "note": "May stand for any of the others.",
    },
}
