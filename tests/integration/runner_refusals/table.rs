//! What cannot be meant, one wrong answer a line: where, as what the page names it, what is said, what must be told.

/// Answers that can be meant. The pair worn now is known by its measures.
pub(super) const SOUND: [(&str, &str); 20] = [
    ("run.audience", "men"),
    ("size.system", "EU"),
    ("size.worn_label", "42.5"),
    ("foot.left_length_mm", "268"),
    ("foot.right_length_mm", "271.5"),
    ("run.purpose", "daily"),
    ("now.heel_stack_mm", "32"),
    ("now.forefoot_stack_mm", "24"),
    ("now.mass_g", "265"),
    ("stage.heading", "less"),
    ("stage.weeks_done", "9"),
    ("flags.pain", "no"),
    ("run.strike", "rearfoot"),
    ("run.strike_seen", "video"),
    ("run.weekly_km", "32"),
    ("run.regular", "yes"),
    ("run.surface", "road"),
    ("injury.calf.recent", "yes"),
    ("asked_for.drop_mm", "4"),
    ("asked_for.drop_mm", "10"),
];

/// The answers above with some said otherwise; a blank takes one back.
pub(super) fn with<'a>(said: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let stands = |(key, _): &&(&str, &str)| said.iter().all(|(other, _)| other != key);
    SOUND.iter().filter(stands).chain(said).copied().collect()
}

/// One thing that cannot be meant.
pub(super) struct Wrong {
    /// The key the sentence is at.
    pub(super) at: &'static str,
    /// What the page calls it.
    pub(super) called: &'static str,
    /// What is said beside the sound answers.
    pub(super) said: &'static [(&'static str, &'static str)],
    /// What the sentence must say: the text that was read, and what to do.
    pub(super) says: &'static [&'static str],
}

const fn wrong(
    at: &'static str,
    called: &'static str,
    said: &'static [(&'static str, &'static str)],
    says: &'static [&'static str],
) -> Wrong {
    Wrong { at, called, said, says }
}

/// 20 kB of text.
pub(super) const LONG: &str = match std::str::from_utf8(&[b'x'; 20_000]) {
    Ok(text) => text,
    Err(_) => "",
};

/// What can be said at every door.
#[rustfmt::skip] // a table: one wrong answer a line
pub(super) const WRONG: &[Wrong] = &[
    // Impossible bodies. Height and age are not asked: saying them is told, not dropped.
    wrong("run.body_mass_kg", "run.body_mass_kg", &[("run.body_mass_kg", "5")], &["“5”", "15 to 300 kg can be meant"]),
    wrong("run.body_mass_kg", "run.body_mass_kg", &[("run.body_mass_kg", "500")], &["“500”", "15 to 300 kg can be meant"]),
    wrong("run.body_mass_kg", "run.body_mass_kg", &[("run.body_mass_kg", "-74")], &["“-74”", "15 to 300 kg can be meant"]),
    wrong("run.body_mass_band", "Body mass", &[("run.body_mass_band", "heavy")], &["“heavy”", "below 62.8, 62.8-71.4"]),
    wrong("run.body_mass_band", "Body mass", &[("run.body_mass_band", "71.4-78.2"), ("run.body_mass_kg", "74")], &["keep one of the two"]),
    wrong("run.height_cm", "run.height_cm", &[("run.height_cm", "30")], &["is not known; [run] has strike,"]),
    wrong("run.height_m", "run.height_m", &[("run.height_m", "3")], &["is not known; [run] has strike,"]),
    wrong("run.age", "run.age", &[("run.age", "150")], &["is not known; [run] has strike,"]),
    wrong("run.sex", "Sex", &[("run.sex", "often")], &["“often”", "female, male"]),
    // Feet.
    wrong("foot.left_length_mm", "Left foot", &[("foot.left_length_mm", "50")], &["“50”", "100 to 400 mm can be meant"]),
    wrong("foot.right_length_mm", "Right foot", &[("foot.right_length_mm", "600")], &["“600”", "100 to 400 mm can be meant"]),
    wrong("foot.left_length_mm", "Left foot", &[("foot.left_length_mm", "27.1")], &["“27.1”", "100 to 400 mm can be meant"]),
    wrong("foot.right_length_mm", "Right foot", &[("foot.left_length_mm", "228"), ("foot.right_length_mm", "282")], &["“282”", "54 mm away", "228", "up to 40 can be meant", "measure both again"]),
    wrong("foot.width_mm", "Width", &[("foot.width_mm", "20")], &["“20”", "40 to 200 mm can be meant"]),
    wrong("foot.width_mm", "Width", &[("foot.width_mm", "190")], &["“190”", "60 % of the length, 271.5", "measure across the ball"]),
    // Sizes.
    wrong("size.worn_label", "Worn label", &[("size.worn_label", "99")], &["“99”", "no size of a runner in EU; 17 to 62 can be meant"]),
    wrong("size.worn_label", "Worn label", &[("size.system", "MP"), ("size.worn_label", "42")], &["“42”", "in MP; 100 to 400 can be meant"]),
    wrong("size.worn_label", "Worn label", &[("size.worn_label", "XL")], &["“XL”", "write it as printed, such as 42"]),
    wrong("size.worn_label", "Worn label", &[("size.system", "")], &["“42.5”", "answer the size system too (EU, UK, US, MP or CM)"]),
    wrong("size.system", "Size system", &[("size.system", "Paris"), ("size.worn_label", "")], &["“Paris”", "EU, UK, US, MP, CM"]),
    wrong("size.working", "Working sizes", &[("size.working", "42.5"), ("size.working", "99")], &["“99”", "17 to 62 can be meant"]),
    wrong("size.width", "Width label", &[("size.width", "wide; or so")], &["“wide; or so”", "as on the box, such as D or 2E"]),
    // Running.
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", "-5")], &["“-5”", "0 to 400 km a week can be meant"]),
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", "2000")], &["“2000”", "0 to 400 km a week can be meant"]),
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", "32.5")], &["“32.5”", "write a whole number"]),
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", "3O")], &["“3O”", "write digits only"]),
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", "3\u{0}2")], &["“3\u{fffd}2”", "write digits only"]),
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", LONG)], &["“xxxx", "x…”", "write digits only"]),
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", "999999999999999999999")], &["0 to 400 km a week can be meant"]),
    wrong("run.regular", "Ran weekly in 6 of the last 12 months", &[("run.regular", "mostly")], &["“mostly”", "write yes or no"]),
    wrong("run.strike", "Lands on", &[("run.strike", "toes")], &["“toes”", "rearfoot, midfoot, forefoot"]),
    wrong("run.strike_seen", "How it was seen", &[("run.strike_seen", "felt")], &["“felt”", "video-240, video, eye, told"]),
    wrong("run.strike_angle_deg", "Foot strike angle", &[("run.strike_angle_deg", "400")], &["“400”", "-45 to 45 degrees can be meant"]),
    wrong("run.strike_index_percent", "Strike index", &[("run.strike_index_percent", "250")], &["“250”", "0 to 100 percent of foot length can be meant"]),
    wrong("run.budget", "Most it may cost", &[("run.budget", "-1")], &["“-1”", "0 to 10000 in the shop's currency can be meant"]),
    wrong("run.purpose", "What for", &[("run.purpose", "moonwalk")], &["“moonwalk”", "daily, tempo, race, long, walk"]),
    // The pair worn now.
    wrong("now.heel_stack_mm", "Heel stack", &[("now.heel_stack_mm", "320")], &["“320”", "0 to 100 mm can be meant"]),
    wrong("now.drop_mm", "Drop", &[("now.drop_mm", "90")], &["“90”", "-20 to 40 mm can be meant"]),
    wrong("now.heel_stack_mm", "Heel stack", &[("now.heel_stack_mm", "10"), ("now.forefoot_stack_mm", "60")], &["a heel of 10 and a forefoot of 60", "a drop of -50 mm", "-20 to 40 mm can be meant", "measure both again"]),
    wrong("now.drop_mm", "Drop", &[("now.drop_mm", "-8")], &["“-8” cannot be", "a drop of 8 mm", "leave the drop out"]),
    wrong("now.drop_mm", "Drop", &[("now.heel_stack_mm", "10"), ("now.forefoot_stack_mm", ""), ("now.drop_mm", "12")], &["“12”", "more than the stack it starts from", "measure again"]),
    wrong("now.mass_g", "Weight of one shoe", &[("now.mass_g", "5")], &["“5”", "50 to 1000 g can be meant"]),
    wrong("now.mass_size", "Weighed at size", &[("now.mass_size", "US 99")], &["“US 99”", "in US; 1 to 27 can be meant"]),
    wrong("now.bending_word", "Bends", &[("now.bending_word", "floppy")], &["“floppy”", "very flexible, flexible"]),
    wrong("now.feel", "How it feels", &[("now.feel", "cosy")], &["“cosy”", "flatter, like most, taller"]),
    wrong("now.old_pair", "What becomes of it", &[("now.old_pair", "burnt")], &["“burnt”", "keep, finished"]),
    // Where to.
    wrong("stage.heading", "Where to", &[("stage.heading", "sideways")], &["“sideways”", "less, same, more, new"]),
    wrong("stage.weeks_done", "Weeks done in this step", &[("stage.weeks_done", "-1")], &["“-1”", "0 to 520 weeks can be meant"]),
    wrong("stage.weeks_done", "Weeks done in this step", &[("stage.weeks_done", "521")], &["“521”", "0 to 520 weeks can be meant"]),
    wrong("stage.step_anyway", "stage.step_anyway", &[("stage.step_anyway", "perhaps")], &["“perhaps”", "write yes or no"]),
    // What has hurt. No month is asked, so that none can lie in the future: saying one is told, not dropped.
    wrong("injury.calf.months_ago", "injury.calf.months_ago", &[("injury.calf.months_ago", "-3")], &["an injury has region, recent, painful"]),
    wrong("injury.calf.recent", "Calf, within 12 months", &[("injury.calf.recent", "next month")], &["“next month”", "write yes or no"]),
    wrong("injury.elbow", "injury.elbow", &[("injury.elbow", "yes")], &["“elbow”", "achilles, calf, plantar-heel"]),
    wrong("flags.pain", "Asked aloud", &[("injury.calf.painful", "yes")], &["says no, yet the history says that calf is painful now", "answer one of them again"]),
    wrong("injury.kneecap.current", "Around the kneecap, the current pain", &[("injury.achilles.current", "yes"), ("injury.kneecap.current", "yes")], &["so does that of achilles", "the one pain that is current"]),
    // The one question.
    wrong("flags.pain", "Asked aloud", &[("flags.pain", "a little")], &["“a little”", "write yes or no"]),
    wrong("flags.pain", "Asked aloud", &[("flags.pain", "yes")], &["says yes, but not what", "answer the signs below it"]),
    wrong("flags.pain", "Asked aloud", &[("flags.sudden_snap", "yes")], &["says no, yet a sign below it says yes", "answer one of them again"]),
    wrong("flags.hot_red_joint", "A hot, red or suddenly swollen joint", &[("flags.hot_red_joint", "warm")], &["“warm”", "write yes or no"]),
    wrong("flags.hot_red_joints", "flags.hot_red_joints", &[("flags.hot_red_joints", "yes")], &["is not known; [flags] has pain, bone_pain_spot"]),
    wrong("flags.diabetes", "Diabetes", &[("flags.diabetes", "type 2")], &["“type 2”", "write yes or no"]),
    // What was asked for.
    wrong("asked_for.drop_mm", "Drop", &[("asked_for.drop_mm", "12"), ("asked_for.drop_mm", "4")], &["“12 to 4”", "give the smaller number first"]),
    wrong("asked_for.drop_mm", "Drop", &[("asked_for.drop_mm", "12")], &["“12”", "give two numbers, from and to"]),
    wrong("asked_for.landing_stack_mm", "Landing stack", &[("asked_for.landing_stack_mm", "24"), ("asked_for.landing_stack_mm", "400")], &["“24 to 400”", "0 to 100 mm can be meant"]),
    wrong("asked_for.by", "Who asked", &[("asked_for.by", "coach")], &["“coach”", "runner, fitter, clinician"]),
    wrong("asked_for.plate", "A plate", &[("asked_for.plate", "golden")], &["“golden”", "write yes or no"]),
    // A style beside the measures of another pair.
    wrong("now.purposes", "What that pair is for", &[("now.style", "fennick.fm-410"), ("now.heel_stack_mm", ""), ("now.forefoot_stack_mm", ""), ("now.mass_g", ""), ("now.purposes", "daily")], &["a pair that is not in the catalogue", "take the style out"]),
];

/// What only a form can say: a file cannot write it down.
pub(super) const WRONG_ON_PAPER: &[Wrong] = &[
    wrong(
        "injury",
        "History",
        &[("injury", "none")],
        &["says none, yet injury.calf.recent is answered", "take one of the two out"],
    ),
    wrong("injury", "History", &[("injury", "some")], &["“some”", "none"]),
    wrong(
        "injury.calf",
        "Calf",
        &[("injury.calf", "no")],
        &["says no, yet injury.calf.recent says yes", "keep one of the two"],
    ),
    wrong("now.words", "Pair worn now", &[("now.words", LONG)], &["“xxxx", "100 characters at most"]),
    wrong(
        "now.words",
        "Pair worn now",
        &[("now.words", "Fen\u{0}nick")],
        &["“Fen\u{fffd}nick”", "in one line"],
    ),
    wrong(
        "now.style",
        "Which of these",
        &[("now.words", "Fennick Loam"), ("now.style", "fennick.fm-410")],
        &["“fennick.fm-410” stands beside measures", "keep the style, or the measures"],
    ),
];
