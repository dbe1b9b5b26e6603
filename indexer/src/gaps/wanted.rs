//! What the catalogue wants to know of a shoe, and what it costs not to know it.

use super::Shoe;

/// One thing that is wanted of every shoe it applies to.
#[derive(Debug)]
pub struct Wanted {
    /// Its key in addresses.
    pub key: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// What its want costs.
    pub costs: &'static str,
    /// How a supplier is asked for it; `None` where only the shop can tell.
    pub ask: Option<&'static str>,
    /// Whether the question makes sense of a shoe: its denominator.
    pub applies: fn(&Shoe<'_>) -> bool,
    /// Whether it is known.
    pub given: fn(&Shoe<'_>) -> bool,
}

/// How many of the shoes it applies to lack one thing.
#[derive(Clone, Copy, Debug)]
pub struct Hole {
    /// What is wanted.
    pub wanted: &'static Wanted,
    /// Shoes that lack it.
    pub missing: usize,
    /// Shoes it applies to.
    pub of: usize,
}

/// Everything that is wanted, what costs most first. Weights and groups: `catalogue::rank`.
pub static WANTED: &[Wanted] = &[
    Wanted {
        key: "drop",
        label: "Drop",
        costs: "Neither stated nor to be worked out from the stacks: 30 of 100 of the order are unknown, and the shoe \
                is never brought out first.",
        ask: Some("heel-to-toe drop in mm"),
        applies: always,
        given: |shoe| shoe.measures.drop().is_some(),
    },
    Wanted {
        key: "heel_stack",
        label: "Heel stack",
        costs: "For whoever lands on the heel 40 of 100 are unknown, and the shoe is never brought out first; with no \
                drop either, its sheet says too little to rank it.",
        ask: Some("stack height under the heel in mm, liner included or not"),
        applies: always,
        given: |shoe| shoe.measures.heel_stack().is_some(),
    },
    Wanted {
        key: "forefoot_stack",
        label: "Forefoot stack",
        costs: "The same for whoever lands on the forefoot, and for a strike nobody has seen, which takes the mean of \
                both.",
        ask: Some("stack height under the forefoot in mm"),
        applies: always,
        given: |shoe| shoe.measures.forefoot_stack().is_some(),
    },
    Wanted {
        key: "mass",
        label: "Weight",
        costs: "20 of 100 of the order are unknown, and “lighter than your pair” cannot be said.",
        ask: Some("weight of one shoe in g, with the size it was weighed at"),
        applies: always,
        given: |shoe| shoe.style.specification.mass.is_some(),
    },
    Wanted {
        key: "mass_size",
        label: "Size weighed at",
        costs: "The usual sample size is taken instead, which may be some 8 g off for each size between (house view).",
        ask: Some("the size the weight was taken at, with its system"),
        applies: |shoe| shoe.style.specification.mass.is_some(),
        given: |shoe| shoe.style.specification.mass_size.is_some(),
    },
    Wanted {
        key: "bending",
        label: "Bending",
        costs: "10 of 100 of the order are unknown, and after some injuries a rule on stiff soles stays silent. A bare \
                “stiffness” or a laboratory value alone does not count.",
        ask: Some("how it bends lengthwise: very flexible, flexible, medium, stiff or very stiff"),
        applies: always,
        given: |shoe| shoe.measures.bending().is_some(),
    },
    Wanted {
        key: "rocker",
        label: "Rocker sole",
        costs: "Rules that lean towards or against a rocker stay silent, and the chip keeps the shoe, marked so.",
        ask: Some("rocker sole: yes or no"),
        applies: always,
        given: |shoe| shoe.style.specification.rocker.is_some(),
    },
    Wanted {
        key: "plate",
        label: "Plate",
        costs: "Rules on plates stay silent, and the chip keeps the shoe, marked so.",
        ask: Some("stiff plate in the sole: yes or no"),
        applies: always,
        given: |shoe| shoe.style.specification.plate.is_some(),
    },
    Wanted {
        key: "audience",
        label: "For whom",
        costs: "It is shown to women, men and youth alike, and its US sizes and sample size are guesses.",
        ask: Some("for women, men, unisex or youth"),
        applies: always,
        given: |shoe| shoe.style.audience.is_some(),
    },
    Wanted {
        key: "surface",
        label: "Surface",
        costs: "It stays in every list, marked as one that does not say.",
        ask: Some("surface: road, trail, track, indoor"),
        applies: always,
        given: |shoe| !shoe.style.surfaces.is_empty(),
    },
    Wanted {
        key: "purpose",
        label: "Purpose",
        costs: "It stays in every list, marked as one that does not say, and has no peers to be held against.",
        ask: Some("use: daily, tempo, race, long, walk"),
        applies: always,
        given: |shoe| !shoe.style.purposes.is_empty(),
    },
    Wanted {
        key: "sizes",
        label: "Any size",
        costs: "With no size listed it is in nobody's working sizes and is never shown in a fitting.",
        ask: None,
        applies: always,
        given: |shoe| !shoe.skus.is_empty(),
    },
    Wanted {
        key: "gtin",
        label: "Code on every box",
        costs: "A box without a known code can neither be scanned at the desk nor counted by scanner.",
        ask: Some("the number on the box (GTIN) of every size"),
        applies: has_sizes,
        given: |shoe| shoe.skus.iter().all(|sku| sku.gtin.is_some()),
    },
    Wanted {
        key: "quantity",
        label: "Pairs of every size",
        costs: "A size of which no sheet and no count has told the pairs is not shown as in stock.",
        ask: None,
        applies: has_sizes,
        given: |shoe| shoe.skus.iter().all(|sku| sku.quantity.is_some()),
    },
    Wanted {
        key: "price",
        label: "Price of every size",
        costs: "A budget cannot be held against it; it stays in the list, marked so.",
        ask: None,
        applies: has_sizes,
        given: |shoe| shoe.skus.iter().all(|sku| sku.price.is_some()),
    },
];

/// The wanted thing of a key.
pub fn wanted(key: &str) -> Option<&'static Wanted> {
    WANTED.iter().find(|wanted| wanted.key == key)
}

/// The holes among these shoes, in the order of [`WANTED`], those that are none included. Retired shoes do not count.
pub fn holes(shoes: &[Shoe<'_>]) -> Vec<Hole> {
    let hole = |wanted: &'static Wanted| {
        let asked = || shoes.iter().filter(|shoe| wanted.asked_of(shoe));
        Hole { wanted, missing: asked().filter(|shoe| !(wanted.given)(shoe)).count(), of: asked().count() }
    };
    WANTED.iter().map(hole).collect()
}

impl Wanted {
    /// Whether a shoe lacks it.
    pub fn is_missing(&self, shoe: &Shoe<'_>) -> bool {
        self.asked_of(shoe) && !(self.given)(shoe)
    }

    fn asked_of(&self, shoe: &Shoe<'_>) -> bool {
        !shoe.style.retired && (self.applies)(shoe)
    }
}

const fn always(_: &Shoe<'_>) -> bool {
    true
}

const fn has_sizes(shoe: &Shoe<'_>) -> bool {
    !shoe.skus.is_empty()
}
