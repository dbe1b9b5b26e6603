//! The registry of columns: what a sheet may hold, the words its headings may use, and how a cell is read.

/// One column that a sheet may hold.
#[derive(Debug, PartialEq, Eq)]
pub struct Column {
    /// Its name in mapping files, in the ledger and in the tables of the store.
    pub key: &'static str,
    /// Whether it says something of a style or of a size.
    pub level: Level,
    /// How its cells are read.
    pub reads: Reads,
    /// Heading words, lower case, diacritics kept: English first, then German.
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
    MAKER "maker" Style Text ["maker", "brand", "make", "marke", "hersteller"] "Who makes the shoe. Without it the supplier counts as the maker, if known as one.";
    STYLE_NUMBER "style_number" Style Text ["style number", "style no", "article no", "article number", "article", "item no", "style code", "artikelnummer", "artikel nr", "art nr", "modellnummer"] "The maker's number for the style. With the maker it is the name that never changes.";
    NAME "name" Style Text ["style name", "name", "model", "style", "model name", "modell", "bezeichnung"] "The name of the style.";
    AUDIENCE "audience" Style Audience ["for", "audience", "gender", "geschlecht", "zielgruppe"] "For whom it is built: women, men, unisex or youth.";
    SURFACE "surface" Style Surfaces ["surface", "terrain", "untergrund"] "What it runs on: road, trail, track, indoor; several may be listed.";
    PURPOSE "purpose" Style Purposes ["use", "purpose", "purposes", "einsatz", "verwendung"] "What it is for: daily, tempo, race, long, walk; several may be listed.";
    HEEL_STACK "heel_stack" Style Length ["heel stack", "heel", "stack heel", "heel height", "stack height heel", "fersenhöhe", "ferse"] "Thickness under the heel, liner and outsole included, in mm.";
    FOREFOOT_STACK "forefoot_stack" Style Length ["forefoot stack", "forefoot", "stack forefoot", "forefoot height", "stack height forefoot", "vorfußhöhe", "vorfuß"] "Thickness under the forefoot, in mm.";
    DROP "drop" Style Length ["drop", "heel drop", "heel to toe drop", "offset", "sprengung"] "Heel-to-toe drop as the supplier states it, in mm.";
    MASS "mass" Style Mass ["mass", "weight", "gewicht"] "Mass of one shoe, in g.";
    MASS_SIZE "mass_size" Style MassSize ["weighed at", "weight size", "mass size", "sample size", "gewogen bei", "mustergröße"] "The size the shoe was weighed at, with its system.";
    BENDING "bending" Style Bending ["bending", "flexibility", "flex", "biegung", "biegsamkeit"] "How it bends lengthwise: very flexible, flexible, medium, stiff, very stiff.";
    STIFFNESS "stiffness" Style KindUnknown ["stiffness", "sole stiffness", "steifigkeit"] "A stiffness whose kind is unknown until you say bending, compression or torsion.";
    COMPRESSION "compression" Style Compression ["compression", "compression stiffness", "druckhärte"] "Compression stiffness of the midsole, in N/mm, with its method in the next column.";
    COMPRESSION_METHOD "compression_method" Style Text ["compression method", "prüfverfahren"] "How compression was measured; values of two methods are not compared.";
    TORSION "torsion" Style Text ["torsion", "torsional stiffness", "verwindung"] "Torsion as printed; kept, not ranked.";
    DEVICES "devices" Style Devices ["stability devices", "devices", "stabilitätselemente"] "How many motion-control and stability devices it has, 0 to 6.";
    ROCKER "rocker" Style YesNo ["rocker", "rocker sole", "abrollsohle"] "Whether the sole is a rocker.";
    PLATE "plate" Style YesNo ["plate", "plate yes no", "platte", "platte ja nein"] "Whether there is a stiff plate in the sole.";
    LINER_REMOVABLE "liner_removable" Style YesNo ["liner removable", "removable liner", "einlage herausnehmbar"] "Whether the liner comes out.";
    LINER_INCLUDED "liner_included" Style YesNo ["liner included", "stack with liner", "mit einlage gemessen"] "Whether the stacks include the liner.";
    SEASON "season" Style Text ["season", "saison"] "The season as printed.";
    REPLACES "replaces" Style Replaces ["replaces", "successor of", "ersetzt", "nachfolger von"] "The style number of the style that this one follows.";
    STATUS "status" Style Status ["status", "state"] "In the range, or retired.";
    NOTES "notes" Style Text ["notes", "note", "description", "bemerkung", "beschreibung"] "The supplier's words.";
    SHOP_NOTE "shop_note" Style Text ["shop note", "shop notes", "fit note", "hinweis"] "The shop's words: runs short, roomy toes, narrow heel.";
    COLOURWAY "colourway" Sku Text ["colourway", "colour", "color", "farbe"] "The colourway.";
    SIZE_SYSTEM "size_system" Sku SizeSystem ["size system", "system", "größensystem"] "The system of the size labels: EU, UK, US, MP (foot in mm) or CM.";
    SIZE "size" Sku Size ["size", "größe"] "The size label as printed.";
    WIDTH "width" Sku Text ["width", "fitting", "weite"] "The width as printed; a letter means nothing without audience and system.";
    GTIN "gtin" Sku Gtin ["gtin", "ean", "upc", "barcode", "strichcode"] "The number on the box, check digit included.";
    QUANTITY "quantity" Sku Quantity ["quantity", "qty", "pairs", "stock", "on hand", "bestand", "menge", "paare"] "Pairs in stock; 10+ is at least ten, x is in stock with the number unknown.";
    PRICE "price" Either Price ["price", "rrp", "retail price", "uvp", "vk", "verkaufspreis", "preis"] "The customer's price, in the shop's currency.";
    PLACE "place" Sku Text ["place", "bay", "shelf", "location", "regalplatz", "platz"] "Where it stands in the shop.";
    TRADE_PRICE "trade_price" LeftOut Nothing ["trade price", "wholesale price", "cost", "ek netto", "ek", "einkaufspreis"] "What the shop pays: recognised and left out.";
    CARTON_PRICE "carton_price" LeftOut Nothing ["carton price", "case price", "kartonpreis"] "The price of a carton: recognised and left out.";
}

impl Column {
    /// Whether its cells are numbers that may have a decimal mark.
    pub fn is_number(&self) -> bool {
        matches!(self.reads, Reads::Length | Reads::Mass | Reads::Compression | Reads::Price)
    }

    /// The column of this key.
    pub fn find(key: &str) -> Option<&'static Self> {
        COLUMNS.iter().copied().find(|column| column.key == key)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    #[test]
    fn keys_and_heading_words_belong_to_one_column_each() {
        let mut owners: BTreeMap<&str, &str> = BTreeMap::new();
        for column in COLUMNS {
            assert_eq!(Column::find(column.key), Some(*column));
            for heading in column.headings {
                let other = owners.insert(heading, column.key);
                assert!(other.is_none(), "{heading} is of {other:?} and {}", column.key);
                assert_eq!(*heading, heading.to_lowercase());
            }
        }
    }

    #[test]
    fn every_column_says_what_it_holds() {
        assert!(COLUMNS.iter().all(|column| column.says.ends_with('.') && !column.headings.is_empty()));
    }
}
