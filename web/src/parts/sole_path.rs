//! The geometry of a sole seen from the side: paths in drawing units from stacks in millimetres.
//!
//! Heights are measured where the competition rule for sole thickness measures them: at 12 % and 75 % of the
//! length from the heel. Everything between and beyond (bevel, toe spring) is the drawing's own and carries no
//! number.

use catalogue::units::Mm;

/// Length of the drawn sole in mm, whatever the size.
pub const LENGTH: f32 = 270.0;
/// Where the heel stack is drawn, in mm from the heel: 12 % of the length.
pub const HEEL_STATION: f32 = 0.12 * LENGTH;
/// Where the forefoot stack is drawn, in mm from the heel: 75 % of the length.
pub const FOREFOOT_STATION: f32 = 0.75 * LENGTH;

/// How far a part whose other end is unknown is drawn before it breaks off, in mm from its own station.
const BREAK: f32 = 62.0;
/// Where the underside leaves the ground towards the toes, in mm from the heel.
const TOE_SPRING_FROM: f32 = 192.0;
/// Where the underside touches the ground behind, in mm from the heel.
const HEEL_BEVEL_TO: f32 = 22.0;

/// Drawing units for one millimetre, the ground line, and the left edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paper {
    /// Pixels a millimetre.
    pub scale: f32,
    /// The ground, in pixels from the top.
    pub ground: f32,
    /// The heel end, in pixels from the left.
    pub left: f32,
}

/// A path being drawn: millimetres in, pixels out.
struct Pen {
    paper: Paper,
    path: String,
}

/// A point in mm: from the heel end, above the ground.
type Point = (f32, f32);

impl Paper {
    /// Pixels from the left of a place `mm` from the heel end.
    pub fn x(&self, mm: f32) -> f32 {
        self.left + mm * self.scale
    }

    /// Pixels from the top of a height of `mm` above the ground.
    pub fn y(&self, mm: f32) -> f32 {
        self.ground - mm * self.scale
    }
}

/// The whole outline of a sole with both stacks known: a closed path.
pub fn outline(paper: Paper, heel: Mm, forefoot: Mm) -> String {
    let (heel, forefoot) = (height(heel), height(forefoot));
    let mut pen = Pen::at(paper, (HEEL_BEVEL_TO, 0.0));
    pen.heel_end(heel);
    pen.foot_bed(heel, forefoot);
    pen.toe_end(forefoot);
    pen.toe_spring(forefoot);
    pen.close()
}

/// What stands above the underside: the line that the worn pair is drawn with.
pub fn upper_line(paper: Paper, heel: Mm, forefoot: Mm) -> String {
    let (heel, forefoot) = (height(heel), height(forefoot));
    let mut pen = Pen::at(paper, rear(heel));
    pen.heel_back(heel);
    pen.foot_bed(heel, forefoot);
    pen.toe_end(forefoot);
    pen.path
}

/// The heel alone, open towards the unknown forefoot.
pub fn heel_part(paper: Paper, heel: Mm) -> String {
    let heel = height(heel);
    let mut pen = Pen::at(paper, (HEEL_STATION + BREAK, 0.0));
    pen.line((HEEL_BEVEL_TO, 0.0));
    pen.heel_end(heel);
    pen.line((HEEL_STATION + BREAK, heel));
    pen.path
}

/// The forefoot alone, open towards the unknown heel.
pub fn forefoot_part(paper: Paper, forefoot: Mm) -> String {
    let forefoot = height(forefoot);
    let mut pen = Pen::at(paper, (FOREFOOT_STATION - BREAK, forefoot));
    pen.line((FOREFOOT_STATION, forefoot));
    pen.toe_end(forefoot);
    pen.toe_spring(forefoot);
    pen.line((FOREFOOT_STATION - BREAK, 0.0));
    pen.path
}

/// The edge at which a known heel breaks off, and the underside of the forefoot nobody gave.
pub fn open_forefoot(paper: Paper, heel: Option<Mm>) -> String {
    let from = HEEL_STATION + BREAK;
    let mut pen = Pen::at(paper, (from, heel.map_or(0.0, height)));
    pen.line((from, 0.0));
    pen.line((TOE_SPRING_FROM, 0.0));
    pen.curve((220.0, 0.0), (246.0, 3.0), (262.0, 9.0));
    pen.path
}

/// The underside of the heel nobody gave, and the edge at which a known forefoot breaks off.
pub fn open_heel(paper: Paper, forefoot: Option<Mm>) -> String {
    let to = FOREFOOT_STATION - BREAK;
    let mut pen = Pen::at(paper, (4.0, 6.0));
    pen.curve((5.0, 2.0), (12.0, 0.0), (HEEL_BEVEL_TO, 0.0));
    pen.line((to, 0.0));
    pen.line((to, forefoot.map_or(0.0, height)));
    pen.path
}

impl Pen {
    fn at(paper: Paper, start: Point) -> Self {
        let mut pen = Self { paper, path: String::with_capacity(240) };
        pen.write("M", &[start]);
        pen
    }

    fn heel_end(&mut self, heel: f32) {
        let (x, y) = rear(heel);
        self.curve((12.0, 0.0), (x + 1.5, y * 0.4), (x, y));
        self.heel_back(heel);
    }

    /// Up the back, over a low cup edge, and level through the heel station.
    fn heel_back(&mut self, heel: f32) {
        let (_, y) = rear(heel);
        self.curve((0.5, y + 0.25 * (heel - y)), (-1.5, heel - 1.0), (3.0, heel + 1.6));
        self.curve((9.0, heel + 1.6), (16.0, heel), (HEEL_STATION, heel));
    }

    /// From station to station; level at both, so that each height is read where it is true.
    fn foot_bed(&mut self, heel: f32, forefoot: f32) {
        self.curve((104.0, heel), (140.0, forefoot), (FOREFOOT_STATION, forefoot));
    }

    fn toe_end(&mut self, forefoot: f32) {
        let (x, low) = toe(forefoot);
        let high = low + (0.5 * forefoot).max(2.5).min(forefoot.max(2.5));
        self.curve((226.0, forefoot), (246.0, high - 1.5), (266.0, high));
        self.curve((270.5, high - 0.5), (270.5, low + 1.5), (x, low));
    }

    fn toe_spring(&mut self, forefoot: f32) {
        let (_, low) = toe(forefoot);
        self.curve((246.0, low * 0.35), (220.0, 0.0), (TOE_SPRING_FROM, 0.0));
    }

    fn line(&mut self, to: Point) {
        self.write(" L", &[to]);
    }

    fn curve(&mut self, a: Point, b: Point, to: Point) {
        self.write(" C", &[a, b, to]);
    }

    fn close(mut self) -> String {
        self.path.push_str(" Z");
        self.path
    }

    fn write(&mut self, command: &str, points: &[Point]) {
        self.path.push_str(command);
        for (x, y) in points {
            self.path.push(' ');
            push_pixels(&mut self.path, self.paper.x(*x));
            self.path.push(' ');
            push_pixels(&mut self.path, self.paper.y(*y));
        }
    }
}

/// A number of pixels to a tenth: `33`, `18.5`. A list draws thousands of them; by way of `{:.1}` they took two fifths of
/// the page's time.
pub fn push_pixels(to: &mut String, pixels: f32) {
    let tenths = (pixels * 10.0).round() as i32;
    if tenths < 0 {
        to.push('-');
    }
    let (mut digits, mut at, mut rest) = ([b'0'; 10], 10, tenths.unsigned_abs() / 10);
    loop {
        at -= 1;
        digits[at] = b'0' + (rest % 10) as u8;
        rest /= 10;
        if rest == 0 {
            break;
        }
    }
    to.extend(digits[at..].iter().map(|digit| char::from(*digit)));
    let tenth = (tenths.unsigned_abs() % 10) as u8;
    if tenth > 0 {
        to.push('.');
        to.push(char::from(b'0' + tenth));
    }
}

/// As [`push_pixels`], alone.
pub fn pixels(pixels: f32) -> String {
    let mut text = String::with_capacity(8);
    push_pixels(&mut text, pixels);
    text
}

/// The rearmost point of the underside.
fn rear(heel: f32) -> Point {
    (2.0, (0.28 * heel).min(8.0))
}

/// The foremost point of the underside; a thin sole springs less.
fn toe(forefoot: f32) -> Point {
    (264.0, (3.0 + 0.32 * forefoot).min(13.0))
}

fn height(stack: Mm) -> f32 {
    stack.in_tenths() as f32 / 10.0
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIST: Paper = Paper { scale: 1.0, ground: 60.0, left: 8.0 };
    const LARGE: Paper = Paper { scale: 2.0, ground: 120.0, left: 12.0 };

    /// The height in mm of the path where a segment ends at `station`, read back from the drawn numbers.
    fn height_at(path: &str, paper: Paper, station: f32) -> f32 {
        let numbers: Vec<f32> = path.split_whitespace().filter_map(|word| word.parse().ok()).collect();
        let at = |pair: &&[f32]| (pair[0] - paper.x(station)).abs() < 0.06;
        let pair = numbers.chunks_exact(2).find(at).unwrap();
        (paper.ground - pair[1]) / paper.scale
    }

    #[test]
    fn a_number_of_pixels_is_written_to_the_nearest_tenth() {
        let written = [0.0, 0.04, 33.0, 18.52, 279.96, -0.3, -12.0].map(pixels);
        assert_eq!(written, ["0", "0", "33", "18.5", "280", "-0.3", "-12"]);
        let all = (-20_000..20_000).map(|n| n as f32 / 20.0);
        assert!(
            all.map(|x| (x, pixels(x).parse::<f32>().unwrap())).all(|(x, read)| (x - read).abs() < 0.0501)
        );
    }

    #[test]
    fn each_height_stands_at_its_station_to_scale() {
        for paper in [LIST, LARGE] {
            for (heel, forefoot) in [(360, 280), (385, 305), (40, 40), (190, 230), (0, 0)] {
                let (heel, forefoot) = (Mm::tenths(heel), Mm::tenths(forefoot));
                for path in [outline(paper, heel, forefoot), upper_line(paper, heel, forefoot)] {
                    assert!((height_at(&path, paper, HEEL_STATION) - height(heel)).abs() < 0.1);
                    assert!((height_at(&path, paper, FOREFOOT_STATION) - height(forefoot)).abs() < 0.1);
                }
            }
        }
    }

    #[test]
    fn a_known_end_beside_an_unknown_one_keeps_its_height_and_stays_open() {
        let heel = heel_part(LIST, Mm::whole(36));
        assert!((height_at(&heel, LIST, HEEL_STATION) - 36.0).abs() < 0.1);
        let forefoot = forefoot_part(LIST, Mm::whole(28));
        assert!((height_at(&forefoot, LIST, FOREFOOT_STATION) - 28.0).abs() < 0.1);
        assert!(!heel.contains('Z') && !forefoot.contains('Z'));
        assert!(outline(LIST, Mm::whole(36), Mm::whole(28)).ends_with('Z'));
    }

    #[test]
    fn nothing_known_draws_the_ground_only() {
        let top = |path: &str| {
            let numbers: Vec<f32> = path.split_whitespace().filter_map(|word| word.parse().ok()).collect();
            numbers.chunks_exact(2).map(|pair| LIST.ground - pair[1]).fold(0.0, f32::max)
        };
        assert!(top(&open_heel(LIST, None)) < 10.0 && top(&open_forefoot(LIST, None)) < 10.0);
    }

    #[test]
    fn the_stations_are_those_of_the_competition_rule() {
        assert!((HEEL_STATION - 32.4).abs() < 0.01 && (FOREFOOT_STATION - 202.5).abs() < 0.01);
    }
}
