//! A whole visit on a tablet, from hello to the card and out of memory again, and how long a practised hand takes for it.
//!
//! The time is reckoned, not taken, so that a slow machine fails nothing: each act of the hand costs what the
//! keystroke-level model gives it (Card, Moran & Newell 1980; operator times *from memory*).

use std::cell::Cell;

use crate::{TABLET, sample_shop};
use tests::browser::Browser;

/// Seconds to think of an act, to reach the place, to press or type one sign, and to take in a new page: the first three
/// are the model's M, P and K of an average typist, the last is four acts of thought.
const THINK: f32 = 1.35;
const REACH: f32 = 1.1;
const SIGN: f32 = 0.28;
const NEW_PAGE: f32 = 4.0 * THINK;
/// What the work at the screen may take of the ten minutes.
const THREE_MINUTES: f32 = 180.0;

/// A browser, and the seconds that the hand before it has spent.
struct Hand {
    browser: Browser,
    seconds: Cell<f32>,
}

impl Hand {
    fn spend(&self, seconds: f32) {
        self.seconds.set(self.seconds.get() + seconds);
    }

    async fn choose(&self, name: &str, value: &str) {
        self.browser.choose(name, value).await;
        self.spend(THINK + REACH + SIGN);
    }

    async fn fill(&self, name: &str, text: &str) {
        self.browser.fill(name, text).await;
        self.spend(THINK + REACH + SIGN * text.len() as f32);
    }

    async fn unfold(&self, selector: &str) {
        self.browser.press_at(selector).await;
        self.spend(THINK + REACH + SIGN);
    }

    /// A press that leads to a page with these words.
    async fn press_at(&self, selector: &str, then: &str) -> String {
        self.browser.press_at(selector).await;
        self.arrived(then).await
    }

    /// As [`Self::press_at`], by the words of a link or button.
    async fn press(&self, words: &str, then: &str) -> String {
        self.browser.press(words).await;
        self.arrived(then).await
    }

    async fn arrived(&self, then: &str) -> String {
        self.spend(THINK + REACH + SIGN + NEW_PAGE);
        self.browser.reads(&[then]).await
    }
}

const SUBMIT: &str = "main form button[type='submit']";

#[tokio::test(flavor = "multi_thread")]
async fn a_rearfoot_runner_of_74_kg_is_out_with_a_card_in_three_minutes_at_the_screen() {
    let (served, browser) = sample_shop(TABLET).await;
    let hand = Hand { browser, seconds: Cell::new(0.0) };
    hand.press("Start a fitting", "Put the stock in order").await;
    first_form(&hand).await;
    let order = hand.press_at(SUBMIT, "Bring out first").await;
    further_answers(&hand).await;
    let better = hand.press_at(SUBMIT, "Bring out first").await;
    assert_ne!(order, better, "what was added tells in the list");
    bring_out_and_try(&hand).await;
    let plan = hand.press_at("button[value^='choose:']", "Plan").await;
    assert!(plan.contains("week") || plan.contains("None needed"), "{plan}");
    hand.press("Card", "Lastbench").await;
    hand.browser.at("/card").await;
    hand.browser.picture("journey-card-820").await;
    hand.browser.go(&served.url).await;
    assert!(hand.seconds.get() < THREE_MINUTES, "{:.0} s at the screen", hand.seconds.get());
    drop(served);
    hand.browser.close().await;
}

async fn first_form(hand: &Hand) {
    hand.choose("run.audience", "men").await;
    hand.choose("size.system", "EU").await;
    hand.fill("size.worn_label", "42.5").await;
    hand.choose("run.purpose", "daily").await;
    hand.unfold("details:has([name='now.heel_stack_mm']) > summary").await;
    hand.fill("now.heel_stack_mm", "36").await;
    hand.fill("now.forefoot_stack_mm", "26").await;
    hand.fill("now.mass_g", "290").await;
    hand.choose("stage.heading", "less").await;
    hand.choose("flags.pain", "no").await;
}

/// How the foot lands, seen by eye; the weekly distance; the band that 74 kg lies in.
async fn further_answers(hand: &Hand) {
    hand.press("Runner", "Body, for the fitter only").await;
    hand.unfold("details#strike > summary").await;
    hand.choose("run.strike", "rearfoot").await;
    hand.choose("run.strike_seen", "eye").await;
    hand.unfold("details#running > summary").await;
    hand.fill("run.weekly_km", "32").await;
    hand.unfold("details#body > summary").await;
    hand.choose("run.body_mass_band", "71.4-78.2").await;
}

/// Two shoes, ranked by the customer.
async fn bring_out_and_try(hand: &Hand) {
    for _ in 0..2 {
        hand.browser.press_exactly("Bring out").await;
        hand.arrived("Brought out").await;
    }
    hand.press("On the foot", "In this order").await;
    hand.unfold(".choice:has(input[name^='rank.'][value='1'])").await;
    hand.press_at("main form .buttons button[value='keep']", "On the foot").await;
}
