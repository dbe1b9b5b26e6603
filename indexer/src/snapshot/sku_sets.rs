//! The SKUs as bits, for a search that looks at very many of them: those of each slot, those of each code, and where the
//! run of each style ends.

use super::bits::{Bits, Sets};
use super::group::Group;
use super::stock::Record;
use super::vocabulary::Level;

/// The most slots, and the most codes of sizes, widths and states together, for which a set each is kept.
const MOST_SETS: usize = 256;

/// Groups whose codes have a set each; prices have too many, and are looked at one by one.
const BY_CODE: [Group; 3] = [Group::Size, Group::Width, Group::Stock];

/// Sets of SKUs by their places.
#[derive(Clone, Debug)]
pub(crate) struct SkuSets {
    /// The SKUs that count in each slot of the level.
    pub(crate) slots: Sets,
    /// The SKUs of each code of the level, up to those of prices.
    codes: Sets,
    /// The last SKU of each style that has any.
    pub(crate) ends: Bits,
}

impl SkuSets {
    /// Those of all records; `None` where there would be very many sets.
    pub(crate) fn of(records: &[Record], level: &Level, ends: &[u32]) -> Option<Self> {
        let codes = codes_with_sets(level);
        if level.slots > MOST_SETS || codes > MOST_SETS {
            return None;
        }
        let numbered = || records.iter().enumerate();
        let slots = numbered().flat_map(|(at, record)| slots_of(level, record).map(move |slot| (at, slot)));
        let by_code = numbered().flat_map(|(at, record)| codes_of(record).map(move |code| (at, code)));
        let last = ends.iter().filter(|end| **end > 0).map(|end| end - 1);
        Some(Self {
            slots: Sets::of(records.len(), level.slots, slots),
            codes: Sets::of(records.len(), codes, by_code),
            ends: Bits::of(records.len(), last),
        })
    }

    /// Puts another record in the place of one.
    pub(crate) fn exchange(&mut self, at: usize, before: &Record, now: &Record, level: &Level) -> Option<()> {
        let slots = |record| slots_of(level, record).collect::<Vec<_>>();
        self.slots.exchange(at, &slots(before), &slots(now))?;
        let codes = |record| codes_of(record).collect::<Vec<_>>();
        self.codes.exchange(at, &codes(before), &codes(now))
    }

    /// The SKUs of which a group accepts the code; `accepted` is asked for codes of the level's numbering.
    pub(crate) fn accepted(
        &self,
        group: Group,
        records: &[Record],
        level: &Level,
        accepted: impl Fn(usize) -> bool,
    ) -> Bits {
        let place = group.place();
        let vocabulary = &level.vocabularies[place];
        if !BY_CODE.contains(&group) {
            let codes = records.iter().map(|record| record.codes[place] as usize);
            return Bits::of(
                records.len(),
                (0..).zip(codes).filter(|(_, code)| accepted(*code)).map(|(at, _)| at),
            );
        }
        let mut bits = Bits::none(records.len());
        for code in
            (vocabulary.first_code..vocabulary.first_code + vocabulary.len()).filter(|code| accepted(*code))
        {
            bits.add_set(&self.codes, code);
        }
        bits
    }
}

/// The codes of sizes, widths and states come first in the level's numbering.
fn codes_with_sets(level: &Level) -> usize {
    level.vocabularies[Group::Price.place()].first_code
}

fn slots_of<'a>(level: &'a Level, record: &'a Record) -> impl Iterator<Item = usize> + use<'a> {
    let codes = record.codes.into_iter().enumerate();
    codes.flat_map(|(place, code)| level.slots_of(place, code))
}

fn codes_of(record: &Record) -> impl Iterator<Item = usize> + use<> {
    record.codes.into_iter().take(BY_CODE.len()).map(|code| code as usize)
}
