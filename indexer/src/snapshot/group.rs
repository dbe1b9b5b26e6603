//! The groups of facets: what a list of shoes can be narrowed by.

/// One group of facets. The first twelve look at a style, the others at one SKU of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// For whom it is built.
    Audience,
    /// Who makes it.
    Maker,
    /// What it runs on.
    Surface,
    /// What it is for.
    Purpose,
    /// The bending word.
    Bending,
    /// Heel-to-toe drop, by band and by range.
    Drop,
    /// Heel stack, by band and by range.
    Stack,
    /// Mass of one shoe as weighed, by band and by range.
    Mass,
    /// A plate.
    Plate,
    /// A rocker sole.
    Rocker,
    /// Stability devices.
    Devices,
    /// What the shop notes of its fit.
    ShopNote,
    /// Sizes in stock.
    Size,
    /// Width labels.
    Width,
    /// In stock or not.
    Stock,
    /// Price, by band and by range.
    Price,
}

impl Group {
    /// How many groups look at a style.
    pub(crate) const OF_STYLE: usize = 12;
    /// How many groups look at a SKU.
    pub(crate) const OF_SKU: usize = 4;

    /// All groups in the order in which they are read on a page.
    pub const ALL: [Self; Self::OF_STYLE + Self::OF_SKU] = [
        Self::Audience,
        Self::Surface,
        Self::Purpose,
        Self::Size,
        Self::Width,
        Self::Stock,
        Self::Drop,
        Self::Stack,
        Self::Mass,
        Self::Bending,
        Self::Plate,
        Self::Rocker,
        Self::Devices,
        Self::ShopNote,
        Self::Price,
        Self::Maker,
    ];

    /// The word for it in URLs, files and replies.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Audience => "audience",
            Self::Maker => "maker",
            Self::Surface => "surface",
            Self::Purpose => "purpose",
            Self::Bending => "bending",
            Self::Drop => "drop",
            Self::Stack => "stack",
            Self::Mass => "mass",
            Self::Plate => "plate",
            Self::Rocker => "rocker",
            Self::Devices => "devices",
            Self::ShopNote => "shop_note",
            Self::Size => "size",
            Self::Width => "width",
            Self::Stock => "stock",
            Self::Price => "price",
        }
    }

    /// The heading over its values.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Audience => "For",
            Self::Maker => "Maker",
            Self::Surface => "Surface",
            Self::Purpose => "Purpose",
            Self::Bending => "Bending",
            Self::Drop => "Drop",
            Self::Stack => "Heel stack",
            Self::Mass => "Weight",
            Self::Plate => "Plate",
            Self::Rocker => "Rocker",
            Self::Devices => "Stability devices",
            Self::ShopNote => "Shop note",
            Self::Size => "Size in stock",
            Self::Width => "Width",
            Self::Stock => "In stock",
            Self::Price => "Price",
        }
    }

    /// The group of a key.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|group| group.key() == key)
    }

    /// The group's bit in a fail mask.
    pub(crate) const fn bit(self) -> u16 {
        1 << self as u16
    }

    /// Whether it looks at a SKU.
    pub(crate) const fn is_of_sku(self) -> bool {
        self as usize >= Self::OF_STYLE
    }

    /// Its place among the groups of its level.
    pub(crate) const fn place(self) -> usize {
        if self.is_of_sku() { self as usize - Self::OF_STYLE } else { self as usize }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_group_stands_once_on_the_page_and_has_its_own_bit_and_key() {
        let bits = Group::ALL.iter().fold(0, |bits, group| bits | group.bit());
        assert_eq!(bits.count_ones() as usize, Group::ALL.len());
        assert!(Group::ALL.iter().all(|group| Group::from_key(group.key()) == Some(*group)));
        assert_eq!(Group::ALL.iter().filter(|group| group.is_of_sku()).count(), Group::OF_SKU);
    }
}
