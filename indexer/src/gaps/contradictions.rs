//! Values of one shoe that disagree with each other, or that no running shoe has.

use catalogue::size::SizeSystem;
use catalogue::style::{Audience, Style};
use catalogue::units::{Grams, Mm};

use super::{Doubt, Shoe};

/// Drops outside these are a slip of the pen: *house view*.
const DROPS: (Mm, Mm) = (Mm::whole(-15), Mm::whole(25));
/// Stacks outside these: *house view*.
const STACKS: (Mm, Mm) = (Mm::whole(0), Mm::whole(80));
/// Masses outside these: *house view*.
const MASSES: (Grams, Grams) = (Grams::whole(60), Grams::whole(700));

/// The contradictions of shoes still supplied, shoe by shoe.
pub fn contradictions(shoes: &[Shoe<'_>]) -> Vec<Doubt> {
    shoes.iter().filter(|shoe| !shoe.style.retired).flat_map(of_one).collect()
}

fn of_one(shoe: &Shoe<'_>) -> Vec<Doubt> {
    let style = shoe.style;
    let found = [
        drop_against_stacks(shoe),
        drop_out_of_range(style),
        stack_out_of_range("heel", style.specification.heel_stack),
        stack_out_of_range("forefoot", style.specification.forefoot_stack),
        mass_out_of_range(style),
        mass_size_of_unisex(style),
    ];
    let doubt = |(code, say)| Doubt { code, styles: vec![style.key.clone()], say };
    found.into_iter().flatten().map(doubt).collect()
}

type Found = Option<(&'static str, String)>;

fn drop_against_stacks(shoe: &Shoe<'_>) -> Found {
    let spec = &shoe.style.specification;
    let (heel, forefoot, stated) = (spec.heel_stack?, spec.forefoot_stack?, spec.drop_stated?);
    let worked_out = Mm::from_tenths(heel.in_tenths() - forefoot.in_tenths())?;
    let say = format!(
        "Drop stated as {stated}, but the stacks {heel} and {forefoot} make {worked_out}; the stacks rank."
    );
    shoe.measures.drop_disagrees().then_some(("drop-against-stacks", say))
}

fn drop_out_of_range(style: &Style) -> Found {
    let drop = style.specification.drop_stated.filter(|drop| *drop < DROPS.0 || *drop > DROPS.1)?;
    Some((
        "drop-out-of-range",
        format!("A drop of {drop}: was it meant in another unit, or is a sign wrong?"),
    ))
}

fn stack_out_of_range(where_: &str, stack: Option<Mm>) -> Found {
    let stack = stack.filter(|stack| *stack < STACKS.0 || *stack > STACKS.1)?;
    Some(("stack-out-of-range", format!("A {where_} stack of {stack}: was it meant in another unit?")))
}

fn mass_out_of_range(style: &Style) -> Found {
    let mass = style.specification.mass.filter(|mass| *mass < MASSES.0 || *mass > MASSES.1)?;
    Some(("mass-out-of-range", format!("{mass} for one shoe: is it a pair, or another unit?")))
}

/// A US size of a unisex shoe is a men's or a women's one, which are some 12 mm of foot apart.
fn mass_size_of_unisex(style: &Style) -> Found {
    let size = style.specification.mass_size.as_ref()?;
    let unclear = matches!(size.system(), None | Some(SizeSystem::Us));
    let say = format!("Unisex, and weighed at {size}: a women's or a men's size?");
    (style.audience == Some(Audience::Unisex) && unclear).then_some(("mass-size-unclear", say))
}
