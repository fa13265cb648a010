"""How one thing is written in different ways, as data: what `forms` and `like` go by.

These are rules of spelling and the small words of English and German, common usage without a source. What is said
of an operation stands in its vocabulary.
"""


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


STOP_WORDS = _set(
    "a an the for at on and per s done performed achieved completed complete seen noted procedure step steps "
    "der die das des dem den ein eine einer eines vom zu zum zur am an auf und"
)
"""Words that name nothing, or only say that something was done."""

TURNING_WORDS = _set("of to with by through via using from under von mit durch")
"""What stands before them is what is meant, what stands after them says more of it: “removal of oil”."""

SWAP = "exchange"
"""With it two words say which of them takes the other's place: their order tells, and nothing turns them round."""

NEGATIONS = _set("no not non none never without cancelled canceled denied absent kein keine keinen nicht ohne")
"""Words that turn what is said into its opposite."""

OPPOSITES = (
    "in out", "in off", "on off", "before after", "anterior posterior", "internal external", "inner outer",
    "inside outside", "attached detached", "raised lowered", "raised low", "high low", "up down", "fill removal",
    "placement removal", "insertion removal", "in removal", "out placement", "out fill", "out insertion",
    "superior inferior", "central peripheral", "core peripheral", "core base", "opening closure", "left right",
    "subretinal epiretinal", "subretinal intravitreal",
)  # fmt: skip
"""Pairs of which neither ever stands for the other."""

ALIKE = (
    "removal extraction excision aspiration evacuation stripping clearing withdrawal washout out",
    "placement insertion implantation positioning in",
    "fill injection instillation in",
    "peeling stripping removal",
    "staining colouring",
    "check confirmation verification",
    "control stopping",
    "release relief relieving relaxation",
    "trimming shaving",
    "tear break hole",
    "bleeding haemorrhage",
    "dissection separation",
    "light illumination",
    "washout irrigation lavage",
    "trainer teacher supervisor consultant attending",
    "suturing closure",
    "lens iol",
    "hook retractor",
)
"""Words that often say the same of the same thing: with one in the place of another a name is near, not equal."""

MODIFIERS = _set(
    "focal local partial total full small large big giant repeated further additional more "
    "final initial modified limited extensive extended careful gentle early late prophylactic attempted inferior "
    "superior nasal temporal central peripheral anterior posterior macular retinal vitreous scleral left right port "
    "valved standard combined primary secondary direct assisted simple again surgery surgical one two three four "
    "agent drug"
)
"""Words that say more of a thing without making another of it."""

MODIFYING_ENDINGS = ("ly", "ed", "al", "ar", "ic", "ous", "ive", "ary", "oid", "ine")
"""Endings of words that describe another; what ends so and is of no trade is not as strange as a thing would be."""

TURNS = frozenset(("90", "180", "270", "360"))
"""Degrees that are written without saying so."""

UNITS = {
    "gauge": "g|ga|gauges?",
    "cst": "cst?|centistokes?|mpas|mpa s",
    "%": "%|percent|per cent|prozent",
    "degree": "°|deg|degrees?|grad",
}
"""How what follows a number is written."""

SPELLINGS = (
    (r"ae$", "a"),  # cannulae
    (r"[ao]e", "e"),  # haemorrhage, oedema
    (r"sulph", "sulf"),
    (r"maneuvre", "maneuver"),  # of manoeuvre, whose oe is e by now
    (r"(?<=[bt])re$", "er"),  # centre, fibre
    (r"grey", "gray"),
)
"""British spelling to American, in this order."""

WHOLE_WORDS = {
    "lenses": "lens", "lens": "lens", "gases": "gas", "bled": "bleed", "withdrawn": "withdraw", "periphery": "periphor",
    "withdrawal": "withdraw", "fixated": "fix", "fixation": "fix", "fixed": "fix", "fixing": "fix",
    "into": "in", "slung": "sling", "torn": "tear", "recti": "rectus",
}  # fmt: skip
"""Words whose form no ending tells."""

PLURALS = (
    ("ies", "y"), ("sses", "ss"), ("xes", "x"), ("ches", "ch"), ("shes", "sh"), ("ss", "ss"), ("us", "us"),
    ("is", "is"), ("s", ""),
)  # fmt: skip
"""Endings of several, each with that of one in its place; the first that fits is taken."""

ENDINGS = (
    ("isation", "iz"), ("ization", "iz"), ("ising", "iz"), ("izing", "iz"), ("ised", "iz"), ("ized", "iz"),
    ("ise", "iz"), ("ize", "iz"), ("uction", "uc"), ("ation", ""), ("ating", ""), ("ated", ""), ("ate", ""),
    ("ement", ""), ("ment", ""), ("ing", ""), ("ion", ""), ("ied", "y"), ("ed", ""), ("ure", ""), ("age", ""),
    ("al", ""), ("ar", ""), ("our", "or"), ("er", "or"), ("e", ""), ("a", ""),
)  # fmt: skip
"""Endings of one word in its forms, each with what stands in its place; the first that fits is taken, twice."""

SHORTEST_STEM = 4
"""Letters that an ending leaves at least; that of a plural one less."""

FIRST_PARTS = (
    "hyper", "hypo", "intra", "inter", "extra", "epi", "sub", "supra", "super", "pre", "post", "peri", "para", "endo",
    "exo", "ecto", "trans", "anti", "micro", "macro", "uni", "bi", "mono", "de", "re", "un", "non", "dis",
)  # fmt: skip
LAST_PARTS = (
    "ectomy", "otomy", "ostomy", "plasty", "pexy", "scopy", "itis", "osis", "oma", "opathy", "ectome", "otome", "or",
    "er",
)  # fmt: skip
"""Parts of a word that bear its meaning: two words that differ in one of them are never one word misspelt."""

FRONT_PARTS = _set("endo epi sub intra extra pre peri para trans retro pan visco photo micro")
"""Parts that are written apart from what they belong to, or with a hyphen, or as one word with it."""

LEARNED_ENDINGS = ("ation", "therapy", "pexy", "plasty", "scopy")
"""How words end that are cut short after an “o” for daily use: “phaco”, “cryo”."""
