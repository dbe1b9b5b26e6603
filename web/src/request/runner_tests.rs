//! The runner file and the form, read and written again.

use super::*;
use catalogue::flags::Flags;
use catalogue::injury::{Answer, Region};
use catalogue::runner::{BodyMass, Feel, Now};
use catalogue::stock::Price;
use catalogue::style::Purpose;
use catalogue::units::{Kilograms, Mm};

/// Every key of the runner file once, the pair worn now by its measures.
const WHOLE: &str = r#"
[size]
system = "EU"
worn_label = "42.5"
working = ["42.5", "43"]
width = "D"
[foot]
left_length_mm = 268
right_length_mm = 271.5
width_mm = 104
[run]
strike = "rearfoot"
strike_seen = "video"
strike_angle_deg = 12.5
strike_changing = false
body_mass_kg = 74
sex = "male"
weekly_km = 32
regular = true
audience = "men"
surface = "road"
purpose = "daily"
strength_work = false
budget = 149.95
[now]
heel_stack_mm = 32
forefoot_stack_mm = 23.9
drop_mm = 8.1
mass_g = 265.5
mass_size = "EU 42"
bending_word = "medium"
rocker = true
plate = false
main = true
purposes = ["daily", "long"]
old_pair = "keep"
[stage]
heading = "less"
weeks_done = 9
step_anyway = true
[[injury]]
region = "achilles"
recent = true
painful = false
cleared = true
current = false
[[injury]]
region = "knee-arthritis"
[asked_for]
by = "clinician"
drop_mm = [8, 12.5]
landing_stack_mm = [24, 30]
plate = "no"
rocker = "yes"
own_insole = true
[flags]
bone_pain_spot = false
diabetes = false
diabetes_feeling_normal_and_cleared = false
"#;

fn every_style(_: &StyleKey) -> bool {
    true
}

fn toml(text: &str) -> Result<Runner, Vec<RunnerFault>> {
    RunnerForm::from_toml(text)?.to_runner(&every_style)
}

fn posted(body: &str) -> Result<Runner, Vec<RunnerFault>> {
    RunnerForm::from_posted(body.as_bytes())?.to_runner(&every_style)
}

fn json(text: &str) -> Result<Runner, Vec<RunnerFault>> {
    RunnerForm::from_json(text.as_bytes())?.to_runner(&every_style)
}

/// The one fault of a reading, as printed.
fn fault(read: Result<Runner, Vec<RunnerFault>>) -> String {
    let faults = read.unwrap_err();
    assert_eq!(faults.len(), 1, "{faults:?}");
    faults[0].to_string()
}

#[test]
fn a_whole_file_is_read_to_the_tenth() {
    let runner = toml(WHOLE).unwrap();
    assert_eq!(runner.feet.right_length, Some(Mm::tenths(2715)));
    assert_eq!(runner.strike.angle_tenths, Some(125));
    assert_eq!(runner.body_mass, Some(BodyMass::Exactly(Kilograms::whole(74))));
    assert_eq!(runner.budget, Some(Price(14_995)));
    let Now::Measured(worn) = runner.now.shoe else { panic!("measured") };
    assert_eq!(
        (worn.measures.drop(), worn.measures.forefoot_stack()),
        (Some(Mm::tenths(81)), Some(Mm::tenths(239)))
    );
    assert!(worn.purposes.contains(Purpose::Long));
    assert_eq!(runner.asked_for.drop, Some((Mm::whole(8), Mm::tenths(125))));
    assert_eq!(runner.asked_for.plate, Answer::No);
    assert_eq!(runner.injuries.len(), 2);
    assert_eq!(runner.injuries[1].recent, Answer::NotAsked);
    assert!(runner.history_asked && runner.stage.step_anyway);
}

#[test]
fn what_is_left_out_blank_or_null_is_not_asked() {
    assert_eq!(toml("").unwrap(), Runner::default());
    assert_eq!(
        posted("run.strike=&size.working=&run.regular=+&asked_for.drop_mm=&asked_for.drop_mm=").unwrap(),
        Runner::default()
    );
    assert_eq!(json(r#"{"run": {"strike": null}, "now": null}"#).unwrap(), Runner::default());
}

#[test]
fn a_runner_comes_back_from_the_form_that_shows_it() {
    for text in [
        WHOLE,
        "",
        "injury = []",
        "[now]\nfeel = \"like most\"",
        "[now]\nstyle = \"fennick.fm-310\"",
        "[flags]\npain = \"no\"",
        "[now]\nheel_stack_mm = 30\ndrop_mm = 6",
        "[run]\nbody_mass_band = \"above 85.7\"",
    ] {
        let runner = toml(text).unwrap();
        let form = RunnerForm::from_runner(&runner);
        assert_eq!(form.to_runner(&every_style).unwrap(), runner, "{text}");
    }
}

#[test]
fn file_json_and_form_say_the_same() {
    let by_json = json(
        r#"{"size": {"system": "EU", "working": ["42.5", 43]}, "run": {"regular": true, "budget": 150.0},
            "now": {"drop_mm": 8.1}, "injury": [{"region": "calf", "recent": true}], "asked_for": {"drop_mm": [8, 12]}}"#,
    );
    let by_form = posted(
        "size.system=EU&size.working=42.5&size.working=43&run.regular=yes&run.budget=150&now.drop_mm=8.1\
         &injury.calf.recent=yes&asked_for.drop_mm=8&asked_for.drop_mm=12",
    );
    let by_file = toml(
        "injury = [{ region = \"calf\", recent = true }]\n[size]\nsystem = \"EU\"\nworking = [\"42.5\", \"43\"]\n[run]\nregular = true\nbudget = 150.00\n[now]\ndrop_mm = 8.1\n[asked_for]\ndrop_mm = [8, 12]",
    );
    assert_eq!(by_json, by_file);
    assert_eq!(by_form, by_file);
}

#[test]
fn an_unknown_word_is_told_with_its_line_and_the_words_that_are_known() {
    assert_eq!(
        fault(toml("[run]\nregular = true\nstrike = \"heel\"")),
        "line 3, run.strike: “heel” is not one of the words known here: rearfoot, midfoot, forefoot."
    );
    assert!(
        fault(posted("injury.elbow=yes"))
            .starts_with("injury.elbow: “elbow” is not one of the words known here: achilles, calf,")
    );
    assert!(
        fault(toml("[[injury]]\nregion = \"elbow\"")).starts_with("line 2, injury.elbow: “elbow” is not one")
    );
}

#[test]
fn an_unknown_key_is_refused_since_it_may_be_a_red_flag_misspelt() {
    let say = fault(toml("[flags]\nbone_pain_spott = true"));
    assert!(
        say.starts_with("line 2, flags.bone_pain_spott: is not known; [flags] has pain, bone_pain_spot,"),
        "{say}"
    );
    assert!(fault(json(r#"{"flag": {"bone_pain_spot": true}}"#)).contains("the tables are size, foot, run"));
    assert!(
        fault(toml("[[injury]]\nregion = \"calf\"\nside = \"left\""))
            .contains("an injury has region, recent")
    );
    assert!(fault(posted("size=42")).contains("[size] has system, worn_label"));
}

#[test]
fn a_number_that_cannot_be_meant_is_refused_with_the_range_that_can() {
    assert_eq!(
        fault(posted("now.drop_mm=41")),
        "now.drop_mm: “41” is out of range; -20 to 40 mm can be meant."
    );
    assert!(fault(posted("run.body_mass_kg=-74")).contains("15 to 300 kg can be meant"));
    assert!(fault(posted("now.mass_g=-1")).contains("50 to 1000 g can be meant"));
    assert!(fault(posted("run.weekly_km=32.5")).contains("write a whole number"));
    assert!(fault(posted("now.heel_stack_mm=30.25")).contains("one decimal at most"));
    assert!(fault(posted("asked_for.drop_mm=12&asked_for.drop_mm=8")).contains("smaller number first"));
    assert!(fault(posted("asked_for.drop_mm=12&asked_for.drop_mm=")).contains("give two numbers"));
    assert!(fault(posted("now.heel_stack_mm=10&now.drop_mm=12")).contains("more than the stack"));
}

#[test]
fn a_size_that_is_no_size_is_refused_and_a_size_needs_its_system() {
    assert!(fault(posted("size.system=EU&size.worn_label=XL")).contains("“XL” is no size"));
    assert!(fault(posted("size.system=EU&size.working=42&size.working=42.1")).contains("“42.1” is no size"));
    assert!(fault(posted("size.worn_label=42")).contains("answer the size system too"));
    assert!(fault(posted("size.system=EU&size.system=UK")).contains("are several answers"));
    assert!(posted("now.mass_g=265&now.mass_size=US+9").is_ok());
}

#[test]
fn every_fault_is_told_at_once_in_the_order_of_the_file() {
    let faults =
        toml("[run]\nstrike = \"heel\"\n[now]\ndrop_mm = 99\n[flags]\npain = \"maybe\"").unwrap_err();
    let lines: Vec<_> = faults.iter().filter_map(|fault| fault.place.line).collect();
    assert_eq!(lines, [2, 4, 6]);
}

#[test]
fn a_style_must_exist_and_stand_alone_and_a_feel_gives_way() {
    let form = RunnerForm::from_toml("[now]\nstyle = \"fennick.none\"").unwrap();
    assert!(fault(form.to_runner(&|_| false)).contains("“fennick.none” is no style of this catalogue"));
    assert!(fault(posted("now.style=fennick.fm-310&now.drop_mm=8")).contains("stands beside measures"));
    assert!(fault(posted("now.style=fennick.fm-310&now.purposes=daily")).contains("not in the catalogue"));
    assert!(fault(posted("now.style=The+Fennick")).contains("is no key of a style"));
    assert!(matches!(posted("now.style=fennick.fm-310&now.feel=taller").unwrap().now.shoe, Now::Style(_)));
    assert_eq!(posted("now.feel=taller").unwrap().now.shoe, Now::Feels(Feel::Taller));
}

#[test]
fn the_one_question_answered_no_answers_every_sign_and_yes_needs_one() {
    let runner = posted("flags.pain=no&flags.diabetes=yes").unwrap();
    assert_eq!((runner.flags.pain(), runner.flags.diabetes), (Answer::No, Answer::Yes));
    assert!(fault(posted("flags.pain=yes")).contains("says yes, but not what"));
    assert!(fault(posted("flags.pain=no&flags.sudden_snap=yes")).contains("yet a sign below it says yes"));
    assert_eq!(posted("flags.pain=yes&flags.sudden_snap=yes").unwrap().flags.pain(), Answer::Yes);
}

#[test]
fn every_sign_of_the_one_question_has_its_field() {
    for flag in Flags::questions() {
        let runner = posted(&format!("flags.{}=yes", flag.word())).unwrap();
        assert_eq!(runner.flags.get(*flag), Answer::Yes, "{}", flag.word());
    }
}

#[test]
fn a_history_that_holds_nothing_is_asked_and_one_left_out_is_not() {
    let nothing = toml("injury = []").unwrap();
    assert!(nothing.history_asked && nothing.injuries.is_empty());
    assert!(!posted("injury.calf.recent=").unwrap().history_asked);
    let denied = posted("injury.calf=no").unwrap();
    assert!(denied.history_asked && denied.injuries.is_empty());
    assert_eq!(posted("injury.calf=yes").unwrap().injuries[0].region, Region::Calf);
    assert!(fault(posted("injury=none&injury.calf=yes")).contains("says none, yet injury.calf is answered"));
}

#[test]
fn an_answer_that_stands_twice_is_refused_however_it_is_written() {
    assert!(
        fault(json(r#"{"flags": {"bone_pain_spot": true}, "flags": {"bone_pain_spot": false}}"#))
            .contains("answered twice")
    );
    assert!(toml("[flags]\ncalf_swelling = true\n[flags]\ncalf_swelling = false").is_err());
    let twice = toml("[[injury]]\nregion = \"calf\"\n[[injury]]\nregion = \"calf\"").unwrap_err();
    assert!(twice.iter().any(|fault| fault.say.contains("answered twice")));
    assert!(
        fault(posted("run.body_mass_kg=74&run.body_mass_band=71.4-78.2")).contains("keep one of the two")
    );
}

#[test]
fn what_is_no_file_at_all_is_told_with_its_line() {
    assert!(fault(toml("[run]\nstrike = ")).starts_with("line 2: this is no TOML:"));
    assert!(fault(json("{\"run\": ")).starts_with("line 1: this is no JSON:"));
    assert!(fault(json("[]")).contains("must be one JSON object"));
    assert!(fault(json(&"[".repeat(3_000))).contains("no JSON"));
    assert!(fault(json(&" ".repeat(70_000))).contains("at most 64 kB"));
    assert!(fault(toml("injury = [1]")).contains("write [[injury]] with a region"));
    assert!(fault(toml("[[injury]]\nrecent = true")).contains("write where it hurt"));
    assert!(fault(posted(&"a=1&".repeat(400))).contains("more than 300 fields"));
}

#[test]
fn a_long_or_odd_text_is_shown_cut_and_tame() {
    let say = fault(posted(&format!("run.strike=%1b%00{}", "a".repeat(500))));
    assert!(say.contains("“\u{fffd}\u{fffd}aaa") && say.contains("a…”") && say.len() < 250, "{say}");
}

#[test]
fn a_later_page_answers_or_blanks_its_own_fields_and_leaves_the_others() {
    let first = RunnerForm::from_posted(b"size.system=EU&run.regular=yes&run.purpose=daily").unwrap();
    let later = RunnerForm::from_posted(b"run.regular=&run.purpose=race").unwrap();
    let both = first.with(later);
    assert_eq!(
        (both.get("size.system"), both.get("run.regular"), both.get("run.purpose")),
        (Some("EU"), None, Some("race"))
    );
    assert_eq!(both.to_pairs(), [("size.system", "EU"), ("run.regular", ""), ("run.purpose", "race")]);
}

#[test]
fn a_file_cut_off_anywhere_is_read_or_refused_with_a_sentence() {
    for end in 0..WHOLE.len() {
        let faults = toml(&WHOLE[..end]).err().unwrap_or_default();
        assert!(faults.iter().all(|fault| fault.to_string().ends_with('.')), "{faults:?}");
    }
}

#[test]
fn a_fault_goes_to_the_page_and_to_programs_with_its_place() {
    let faults = posted("now.drop_mm=41").unwrap_err();
    let errors: Vec<PlacedError> = faults.into_iter().map(PlacedError::from).collect();
    assert_eq!(errors[0].place, "now.drop_mm");
    assert_eq!(errors[0].say, "“41” is out of range; -20 to 40 mm can be meant.");
}
