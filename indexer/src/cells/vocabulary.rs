//! The words of cells, in six languages (common practice). Case, diacritics and punctuation make no difference.

use std::collections::HashMap;
use std::sync::LazyLock;

use catalogue::style::{Audience, BendingWord, Purpose, Surface};

use crate::columns::Language;
use crate::heading::{folded, written_out};

/// Words by their folded letters.
pub(super) type Vocabulary<T> = LazyLock<HashMap<String, T>>;

/// What a text stands for, if it is a word of the vocabulary.
pub(super) fn find<T: Copy>(words: &Vocabulary<T>, text: &str) -> Option<T> {
    words.get(&folded(text)).copied()
}

fn index<T: Copy>(words: &[(T, &str)]) -> HashMap<String, T> {
    let each = words.iter().flat_map(|(means, words)| words.split(", ").map(|word| (*means, word)));
    each.flat_map(|(means, word)| [(folded(word), means), (folded(&written_out(word)), means)]).collect()
}

pub(super) static YES_NO: Vocabulary<bool> = LazyLock::new(|| {
    index(&[
        (true, "yes, y, true, 1, x, with"),
        (true, "ja, j, wahr, mit, vorhanden"),
        (true, "oui, o, vrai, avec"),
        (true, "waar, met"),
        (true, "sí, s, verdadero, con"),
        (true, "vero"),
        (false, "no, n, false, 0, without, none"),
        (false, "nein, falsch, ohne, keine"),
        (false, "non, faux, sans"),
        (false, "nee, onwaar, zonder, geen"),
        (false, "falso, sin"),
        (false, "senza"),
    ])
});

pub(super) static IN_STOCK: Vocabulary<bool> = LazyLock::new(|| {
    index(&[
        (true, "in stock, available, auf lager, lieferbar, en stock, op voorraad, disponible, disponibile"),
        (
            false,
            "out of stock, sold out, ausverkauft, nicht lieferbar, épuisé, rupture, uitverkocht, agotado, esaurito",
        ),
    ])
});

pub(super) static AUDIENCES: Vocabulary<Audience> = LazyLock::new(|| {
    index(&[
        (Audience::Women, "women, woman, womens, wmns, w, f, female, ladies, lady"),
        (Audience::Women, "damen, dame, frauen, frau, weiblich"),
        (Audience::Women, "femme, femmes, féminin, dames"),
        (Audience::Women, "vrouwen, vrouw, vrouwelijk"),
        (Audience::Women, "mujer, mujeres, señora, femenino"),
        (Audience::Women, "donna, donne, femminile"),
        (Audience::Men, "men, man, mens, male, gents, gentlemen"),
        (Audience::Men, "herren, herr, männer, mann, männlich"),
        (Audience::Men, "homme, hommes, masculin"),
        (Audience::Men, "heren, mannen, mannelijk"),
        (Audience::Men, "hombre, hombres, caballero, caballeros, masculino"),
        (Audience::Men, "uomo, uomini, maschile"),
        (Audience::Unisex, "unisex, mixte, uniseks, mixto, adult unisex, all"),
        (Audience::Youth, "youth, kids, kid, junior, juniors, jr, children, child, boys, girls, y"),
        (Audience::Youth, "kinder, kind, jugend, jugendliche"),
        (Audience::Youth, "enfant, enfants, jeune, jeunes"),
        (Audience::Youth, "kinderen, jeugd"),
        (Audience::Youth, "niño, niños, niña, niñas, infantil, júnior, juvenil"),
        (Audience::Youth, "bambino, bambini, bambina, ragazzi, ragazzo"),
    ])
});

/// Bare letters that stand for one thing in one language and for another, or for nothing, in the next.
const LETTERS: [(Language, &str, Audience); 18] = [
    (Language::English, "m", Audience::Men),
    (Language::English, "u", Audience::Unisex),
    (Language::German, "d", Audience::Women),
    (Language::German, "h", Audience::Men),
    (Language::German, "m", Audience::Men),
    (Language::German, "u", Audience::Unisex),
    (Language::French, "h", Audience::Men),
    (Language::French, "d", Audience::Women),
    (Language::French, "u", Audience::Unisex),
    (Language::Dutch, "d", Audience::Women),
    (Language::Dutch, "v", Audience::Women),
    (Language::Dutch, "h", Audience::Men),
    (Language::Dutch, "m", Audience::Men),
    (Language::Dutch, "u", Audience::Unisex),
    (Language::Spanish, "h", Audience::Men),
    (Language::Spanish, "u", Audience::Unisex),
    (Language::Italian, "d", Audience::Women),
    (Language::Italian, "u", Audience::Men),
];

/// Pairs of letters that stand for both, whichever the language.
const BOTH: [&str; 16] =
    ["hf", "fh", "mw", "wm", "dh", "hd", "mf", "fm", "mv", "vm", "hm", "mh", "ud", "du", "uf", "fu"];

/// Whether a text is a bare letter whose meaning differs by language.
pub(super) fn is_letter_that_differs(text: &str) -> bool {
    let letter = folded(text);
    LETTERS.iter().any(|(_, known, _)| *known == letter)
}

/// What a bare letter stands for under a heading of this language.
pub(super) fn letter_in(language: Language, text: &str) -> Option<Audience> {
    let letter = folded(text);
    LETTERS
        .iter()
        .find(|(of, known, _)| *of == language && *known == letter)
        .map(|(_, _, audience)| *audience)
}

/// Whether a text is a pair of letters for women and men, such as `H/F`.
pub(super) fn is_both(text: &str) -> bool {
    BOTH.contains(&folded(text).as_str())
}

pub(super) static SURFACES: Vocabulary<Surface> = LazyLock::new(|| {
    index(&[
        (Surface::Road, "road, street, pavement, asphalt, straße, asphaltstraße, route, bitume, asphalte"),
        (Surface::Road, "weg, verharde weg, asfalt, carretera, asfalto, strada"),
        (
            Surface::Trail,
            "trail, trails, off road, gelände, wald, sentier, sentiers, chemin, nature, terrein, onverhard",
        ),
        (Surface::Trail, "montaña, sendero, senderos, tierra, sentiero, sentieri, sterrato, montagna"),
        (Surface::Track, "track, bahn, tartan, tartanbahn, piste, baan, atletiekbaan, pista"),
        (
            Surface::Indoor,
            "indoor, treadmill, halle, laufband, salle, intérieur, tapis, zaal, loopband, binnen",
        ),
        (Surface::Indoor, "interior, cinta, palestra, tapis roulant"),
    ])
});

pub(super) static PURPOSES: Vocabulary<Purpose> = LazyLock::new(|| {
    index(&[
        (
            Purpose::Daily,
            "daily, training, trainer, everyday, alltag, täglich, quotidien, entraînement, dagelijks",
        ),
        (Purpose::Daily, "dagelijkse training, diario, entrenamiento, entreno, quotidiano, allenamento"),
        (
            Purpose::Tempo,
            "tempo, speed, tempolauf, tempotraining, vitesse, snelheid, ritmo, velocidad, velocità",
        ),
        (Purpose::Race, "race, racing, competition, wettkampf, rennen, compétition, course, wedstrijd"),
        (Purpose::Race, "competición, carrera, gara, competizione"),
        (
            Purpose::Long,
            "long, long run, lang, langer lauf, langstrecke, longue distance, sortie longue, lange afstand",
        ),
        (Purpose::Long, "larga distancia, tirada larga, lunga distanza, lungo"),
        (Purpose::Walk, "walk, walking, gehen, spazieren, marche, wandelen, caminar, marcha, camminata"),
    ])
});

pub(super) static BENDING: Vocabulary<BendingWord> = LazyLock::new(|| {
    use BendingWord::{Flexible, Medium, Stiff, VeryFlexible, VeryStiff};
    index(&[
        (
            VeryFlexible,
            "very flexible, sehr biegsam, sehr flexibel, très souple, très flexible, zeer soepel, heel soepel",
        ),
        (VeryFlexible, "zeer flexibel, erg soepel, muy flexible, molto flessibile"),
        (Flexible, "flexible, biegsam, flexibel, souple, soepel, flessibile, soft flex"),
        (Medium, "medium, moderate, mittel, moyen, moyenne, gemiddeld, medio, media, moderado, moderato"),
        (Stiff, "stiff, rigid, steif, rigide, ferme, stijf, rígido, rígida, rigido, rigida"),
        (VeryStiff, "very stiff, very rigid, sehr steif, très rigide, zeer stijf, erg stijf, heel stijf"),
        (VeryStiff, "muy rígido, muy rígida, molto rigido, molto rigida"),
    ])
});

/// Whether a style is retired.
pub(super) static RETIRED: Vocabulary<bool> = LazyLock::new(|| {
    index(&[
        (true, "retired, discontinued, phased out, end of life, no longer available, archived, inactive"),
        (true, "ausgelaufen, auslaufmodell, eingestellt, nicht mehr lieferbar, auslaufend, inaktiv"),
        (true, "arrêté, arrêtée, supprimé, fin de série, abandonné, inactif"),
        (true, "uit assortiment, uit collectie, vervallen, niet meer leverbaar, uitlopend"),
        (true, "descatalogado, descontinuado, retirado, fuera de catálogo, baja, inactivo"),
        (true, "fuori catalogo, fuori produzione, dismesso, ritirato, esaurimento, inattivo"),
        (false, "in range, active, current, carry over, new, available"),
        (false, "aktiv, im sortiment, aktuell, neu, laufend, lieferbar"),
        (false, "actif, active, en gamme, au catalogue, nouveau, courant"),
        (false, "actief, in assortiment, in collectie, nieuw, leverbaar"),
        (false, "activo, en catálogo, vigente, nuevo"),
        (false, "attivo, a catalogo, in catalogo, nuovo, in gamma"),
    ])
});
