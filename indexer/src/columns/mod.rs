//! The registry of columns: what a sheet may hold, the words its headings may use, and how a cell is read.
//!
//! English words stand here, in the line of their column; those of the other languages in `words`, a file each.

mod words;

pub use words::Language;

/// One column that a sheet may hold.
#[derive(Debug, PartialEq, Eq)]
pub struct Column {
    /// Its name in mapping files, in the ledger and in the tables of the store.
    pub key: &'static str,
    /// Whether it says something of a style or of a size.
    pub level: Level,
    /// How its cells are read.
    pub reads: Reads,
    /// Heading words in English, lower case; the first is the column's name for people.
    pub headings: &'static [&'static str],
    /// A sentence for the owner.
    pub says: &'static str,
}

/// What a column speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Level {
    /// The style.
    Style,
    /// The size of a colourway.
    Sku,
    /// The size when the row names one, else the style and so each of its sizes without its own.
    Either,
    /// Other columns: one cell speaks for several, or only says how they are to be read. Nothing is kept under its key.
    Others,
    /// Nothing that is kept: recognised, and left out by name.
    LeftOut,
}

/// How a cell is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reads {
    /// As it stands.
    Text,
    /// A length: mm unless heading or cell says cm or in.
    Length,
    /// Heel and forefoot in one cell, such as `32/24`; a drop may follow.
    Stacks,
    /// A mass: g unless heading or cell says kg, oz or lb.
    Mass,
    /// A size with its system, such as `EU 42`.
    MassSize,
    /// One of the five bending words, or 1 to 5; a value with a unit is kept as it stands.
    Bending,
    /// A stiffness whose kind nobody said; kept as it stands.
    KindUnknown,
    /// Compression in N/mm.
    Compression,
    /// Yes or no.
    YesNo,
    /// A whole number from 0 to 6.
    Devices,
    /// Women, men, unisex or youth.
    Audience,
    /// One or more surfaces.
    Surfaces,
    /// One or more purposes.
    Purposes,
    /// A style number of the same maker.
    Replaces,
    /// In the range, or retired.
    Status,
    /// EU, UK, US, MP or CM.
    SizeSystem,
    /// A size label.
    Size,
    /// A trade item number with its check digit.
    Gtin,
    /// Pairs: a number, `10+`, or `x` for in stock with the number unknown.
    Quantity,
    /// The customer's price.
    Price,
    /// The currency of the prices beside it, which must be the shop's.
    Currency,
    /// Not read.
    Nothing,
}

/// Declares the registry, one line a column.
macro_rules! columns {
    ($($name:ident $key:literal $level:ident $reads:ident [$($heading:literal),* $(,)?] $says:literal;)+) => {
        $(
            #[doc = $says]
            pub static $name: Column = Column {
                key: $key, level: Level::$level, reads: Reads::$reads, headings: &[$($heading),*], says: $says,
            };
        )+

        /// All columns, in reading order.
        pub static COLUMNS: &[&Column] = &[$(&$name),+];
    };
}

columns! {
    MAKER "maker" Style Text ["maker", "brand", "make", "manufacturer", "brand name", "vendor"] "Who makes the shoe. Without it the supplier counts as the maker, if known as one.";
    STYLE_NUMBER "style_number" Style Text ["style number", "style no", "style nr", "style code", "style id", "article no", "article number", "article", "article code", "item no", "item number", "item code", "item", "product code", "product number", "product no", "model number", "model no", "model code", "reference", "ref", "material number"] "The maker's number for the style. With the maker it is the name that never changes.";
    NAME "name" Style Text ["style name", "name", "model", "style", "model name", "product name", "product", "article name", "item name", "title"] "The name of the style.";
    AUDIENCE "audience" Style Audience ["for", "audience", "gender", "sex", "target group"] "For whom it is built: women, men, unisex or youth.";
    SURFACE "surface" Style Surfaces ["surface", "surfaces", "terrain", "ground", "runs on"] "What it runs on: road, trail, track, indoor; several may be listed.";
    PURPOSE "purpose" Style Purposes ["use", "purpose", "purposes", "usage", "used for"] "What it is for: daily, tempo, race, long, walk; several may be listed.";
    HEEL_STACK "heel_stack" Style Length ["heel stack", "heel", "stack heel", "heel height", "heel stack height", "stack height heel", "rearfoot stack", "rearfoot", "rearfoot height", "stack height rearfoot", "sole height heel", "heel thickness"] "Thickness under the heel, liner and outsole included, in mm.";
    FOREFOOT_STACK "forefoot_stack" Style Length ["forefoot stack", "forefoot", "stack forefoot", "forefoot height", "forefoot stack height", "stack height forefoot", "sole height forefoot", "forefoot thickness", "toe stack"] "Thickness under the forefoot, in mm.";
    STACKS "stacks" Others Stacks ["stack heel/forefoot", "heel/forefoot", "heel and forefoot", "stack height", "stack heights", "stack", "stacks", "heel forefoot stack", "sole height", "heel/forefoot/drop", "stack heel/forefoot/drop", "midsole height"] "Heel and forefoot in one cell, heel first: 32/24, or 32/24/8 with the drop behind.";
    DROP "drop" Style Length ["drop", "heel drop", "heel to toe drop", "heel toe drop", "offset", "heel to toe offset", "heel toe offset"] "Heel-to-toe drop as the supplier states it, in mm.";
    MASS "mass" Style Mass ["mass", "weight", "shoe weight", "weight per shoe", "weight each", "mass per shoe"] "Mass of one shoe, in g.";
    MASS_SIZE "mass_size" Style MassSize ["weighed at", "weight size", "mass size", "sample size", "weighed in size", "weight at size", "reference size"] "The size the shoe was weighed at, with its system.";
    BENDING "bending" Style Bending ["bending", "flexibility", "flex", "bending stiffness", "longitudinal bending", "longitudinal stiffness", "longitudinal flexibility"] "How it bends lengthwise: very flexible, flexible, medium, stiff, very stiff.";
    STIFFNESS "stiffness" Style KindUnknown ["stiffness", "sole stiffness", "rigidity"] "A stiffness whose kind is unknown until you say bending, compression or torsion.";
    COMPRESSION "compression" Style Compression ["compression", "compression stiffness", "midsole compression", "compressive stiffness"] "Compression stiffness of the midsole, in N/mm, with its method in the next column.";
    COMPRESSION_METHOD "compression_method" Style Text ["compression method", "test method"] "How compression was measured; values of two methods are not compared.";
    TORSION "torsion" Style Text ["torsion", "torsional stiffness", "torsional rigidity"] "Torsion as printed; kept, not ranked.";
    DEVICES "devices" Style Devices ["stability devices", "devices", "motion control devices", "stability elements"] "How many motion-control and stability devices it has, 0 to 6.";
    ROCKER "rocker" Style YesNo ["rocker", "rocker sole", "rockered"] "Whether the sole is a rocker.";
    PLATE "plate" Style YesNo ["plate", "plate yes no", "stiff plate", "plated"] "Whether there is a stiff plate in the sole.";
    LINER_REMOVABLE "liner_removable" Style YesNo ["liner removable", "removable liner", "removable insole", "insole removable", "sockliner removable"] "Whether the liner comes out.";
    LINER_INCLUDED "liner_included" Style YesNo ["liner included", "stack with liner", "stacks with liner", "measured with liner", "measured with insole"] "Whether the stacks include the liner.";
    SEASON "season" Style Text ["season", "collection"] "The season as printed.";
    REPLACES "replaces" Style Replaces ["replaces", "successor of", "follows", "predecessor"] "The style number of the style that this one follows.";
    STATUS "status" Style Status ["status", "state", "lifecycle", "product status", "availability status"] "In the range, or retired.";
    NOTES "notes" Style Text ["notes", "note", "description", "remark", "remarks", "comment", "comments"] "The supplier's words.";
    SHOP_NOTE "shop_note" Style Text ["shop note", "shop notes", "fit note", "fit notes"] "The shop's words: runs short, roomy toes, narrow heel.";
    COLOURWAY "colourway" Sku Text ["colourway", "colour", "color", "colour name", "color name", "colors", "colours"] "The colourway.";
    SIZE_SYSTEM "size_system" Sku SizeSystem ["size system", "system", "size scale"] "The system of the size labels: EU, UK, US, MP (foot in mm) or CM.";
    SIZE "size" Sku Size ["size", "size men's", "size men", "men's size", "size women's", "size women", "women's size", "shoe size", "size label"] "The size label as printed.";
    WIDTH "width" Sku Text ["width", "fitting", "width fitting", "shoe width"] "The width as printed; a letter means nothing without audience and system.";
    GTIN "gtin" Sku Gtin ["gtin", "ean", "upc", "barcode", "bar code", "ean code", "upc code", "ean upc", "gtin 13", "ean 13", "ean13", "gtin13", "upc ean"] "The number on the box, check digit included.";
    QUANTITY "quantity" Sku Quantity ["quantity", "qty", "pairs", "stock", "on hand", "pairs in stock", "stock level", "available", "available stock", "in stock"] "Pairs in stock; 10+ is at least ten, x is in stock with the number unknown.";
    PRICE "price" Either Price ["price", "rrp", "retail price", "recommended retail price", "srp", "msrp", "suggested retail price", "selling price", "consumer price", "list price incl vat", "price incl vat"] "The customer's price, in the shop's currency.";
    CURRENCY "currency" Others Currency ["currency", "price currency", "currency code"] "The currency of the prices, which must be the shop's.";
    PLACE "place" Sku Text ["place", "bay", "shelf", "location", "storage place", "rack"] "Where it stands in the shop.";
    TRADE_PRICE "trade_price" LeftOut Nothing ["trade price", "wholesale price", "wholesale", "cost", "cost price", "net price", "purchase price", "buying price", "dealer price", "whs price", "unit cost", "wsp"] "What the shop pays: recognised and left out.";
    CARTON_PRICE "carton_price" LeftOut Nothing ["carton price", "case price", "price per carton", "price per case", "box price"] "The price of a carton: recognised and left out.";
}

impl Column {
    /// Whether it is this very column: each stands in memory once, and its address tells it faster than its key.
    pub fn is(&self, other: &'static Self) -> bool {
        std::ptr::eq(self, other)
    }

    /// Whether its cells are numbers that may have a decimal mark.
    pub fn is_number(&self) -> bool {
        matches!(self.reads, Reads::Length | Reads::Stacks | Reads::Mass | Reads::Compression | Reads::Price)
    }

    /// Whether two rows of one key would be two things if their cells of this column differ.
    pub fn names_something(&self) -> bool {
        ["maker", "style_number", "name", "colourway", "size", "width"].contains(&self.key)
    }

    /// The column of this key.
    pub fn find(key: &str) -> Option<&'static Self> {
        COLUMNS.iter().copied().find(|column| column.key == key)
    }

    /// Its heading words in one language.
    pub fn headings_in(&self, language: Language) -> &'static [&'static str] {
        let of_key = || language.words().iter().find(|(key, _)| *key == self.key);
        if language == Language::English { self.headings } else { of_key().map_or(&[], |(_, words)| words) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_belongs_to_one_column() {
        for column in COLUMNS {
            assert_eq!(Column::find(column.key), Some(*column));
        }
    }

    #[test]
    fn every_column_says_what_it_holds_and_has_headings_in_every_language() {
        for column in COLUMNS {
            assert!(column.says.ends_with('.'), "{}", column.key);
            for language in Language::ALL {
                let words = column.headings_in(*language);
                assert!(!words.is_empty(), "{} in {}", column.key, language.word());
                assert!(words.iter().all(|word| *word == word.to_lowercase()), "{words:?}");
            }
        }
    }

    #[test]
    fn every_word_of_a_language_belongs_to_a_column_that_exists() {
        for language in Language::ALL {
            for (key, _) in language.words() {
                assert!(Column::find(key).is_some(), "{key} in {}", language.word());
            }
        }
    }
}
