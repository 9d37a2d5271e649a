//! `linkage` of a servo: horn, rod and what the rod drives.

use super::super::exact::Exact;
use super::super::keys::device::LINKAGE;
use super::super::model::{DeviceId, Driven, Figure, Linkage, Measure, Path};
use super::super::unknown;
use super::Reader;
use super::mistakes::{Block, NOT_MEASURED};
use super::units::{Quantity, UnitOfMeasure, says_off};
use crate::physics::linkage::{Angle, Branch, FourBar, HornDirection, Length, SliderCrank};
use crate::source::{Mistake, Node};

/// Where the horn turns when the pulse gets longer.
pub(in crate::setup) const LONGER: &[(&str, HornDirection)] =
    &[("towards", HornDirection::Towards), ("away", HornDirection::Away)];
/// How the parts are put together.
pub(in crate::setup) const JOINED: &[(&str, Branch)] =
    &[("open", Branch::Open), ("crossed", Branch::Crossed)];

/// Value and tolerance in floating point, the tolerance wide enough for what the decimals lose by it.
fn about(quantity: &Quantity) -> [f64; 2] {
    let value = quantity.value.to_f64();
    let off = quantity.off.as_ref().map_or(0.0, |(off, _)| off.to_f64());
    [value, off + (value.abs() + off) * 2.0 * f64::EPSILON]
}

fn length(quantity: &Quantity) -> Length {
    let [value, off] = about(quantity);
    Length::millimetres(value, off)
}

impl Reader<'_> {
    /// What the file does not say of a linkage although a verdict may hang on it.
    pub(super) fn left_out_of_linkage(&mut self, id: DeviceId, node: &Node) {
        use Measure::{Horn, Lever, Pivots, Rests, Rod, Way};
        let path = Path::of(["devices", &self.devices[id].name, "linkage"]);
        for measure in [Horn, Rod, Lever, Pivots, Way, Rests] {
            let key = measure.key();
            let (path, text) = (path.then(key), node.get(key).and_then(Node::text));
            match text.filter(|text| measure != Rests || *text != NOT_MEASURED) {
                Some(text) if !says_off(text) => {
                    self.mistakes.left_out(Figure::Linkage(id, measure), path, text.ends_with(NOT_MEASURED));
                }
                None if measure == Rests => self.mistakes.left_out(Figure::Rests(id), path, text.is_some()),
                _ => {}
            }
        }
    }

    /// Notes a measure that can be off farther than what is taken where nobody says.
    fn at_most(&mut self, node: &Node, what: &str, quantity: &Quantity, most: i64) {
        if let Some((off, unit)) = &quantity.off
            && *off > Exact::int(most)
        {
            let (off, unit) = (off.to_decimal(2), unit.sign());
            self.mistakes.add(
                Mistake::at(node.span, format!("{what} can be off by {off} {unit}"), format!("more than {most} {unit}"))
                    .help("measure it once more, from hole to hole, and write half of how far the readings lie apart"),
            );
        }
    }

    pub(super) fn driven_by_rod(&mut self, node: &Node, turn: Option<&Exact>) -> Option<Linkage> {
        let block = self.mistakes.block(node, node.span, "`linkage`", &LINKAGE)?;
        let horn = self.length_of(&block, "horn");
        let rod = self.length_of(&block, "rod");
        let driven = self.driven_end(&block);
        let rests = match block.get("rests") {
            Some(node) if node.text() != Some(NOT_MEASURED) => self.rests(node),
            _ => Some(Angle::degrees(0.0, 0.0)),
        };
        let longer = self
            .mistakes
            .require(&block, "longer")
            .and_then(|node| self.mistakes.word(node, "`longer` of a linkage", LONGER));
        let branch = self.mistakes.optional_word(&block, "joined", JOINED).unwrap_or(Branch::Open);
        let Some(turn) = turn else {
            self.mistakes.add(
                Mistake::at(block.place, "a linkage needs to know how far the servo turns", "no `turn`")
                    .help("add for instance `turn: 45 deg` to the device: the angle from rest at 100 %"),
            );
            return None;
        };
        let (horn, rod, at_rest) = (length(&horn?), length(&rod?), rests?);
        let driven = match driven? {
            End::Lever { lever, pivots } => {
                Driven::Lever(FourBar { horn, rod, arm: lever, pivots, at_rest, branch })
            }
            End::Slide { way } => Driven::Slide(SliderCrank { horn, rod, height: way, at_rest, branch }),
        };
        Some(Linkage::new(turn.clone(), longer?, driven))
    }

    fn driven_end(&mut self, block: &Block<'_>) -> Option<End> {
        match (block.get("lever").or(block.get("pivots")), block.get("way")) {
            (Some(_), None) => {
                let lever = self.length_of(block, "lever");
                let pivots = self.length_of(block, "pivots");
                Some(End::Lever { lever: length(&lever?), pivots: length(&pivots?) })
            }
            (None, Some(node)) => {
                let way = self.mistakes.quantity(node, "`way`", &[UnitOfMeasure::Millimetres])?;
                self.at_most(node, "`way`", &way, unknown::MOST_MILLIMETRES_OFF);
                Some(End::Slide { way: length(&way) })
            }
            (Some(lever), Some(way)) => {
                self.mistakes.add(
                    Mistake::at(way.span, "a rod drives a lever or a slide, not both", "of a slide")
                        .also(lever.span, "of a lever")
                        .help("leave out `way`, or `lever` and `pivots`"),
                );
                None
            }
            (None, None) => {
                self.mistakes.add(
                    Mistake::at(block.place, "the linkage does not say what the rod drives", "no other end")
                        .help(
                            "write `lever: 15 mm, pivots: 60 mm` for something that turns, `way: 12 mm` for \
                             something that slides",
                        ),
                );
                None
            }
        }
    }

    fn length_of(&mut self, block: &Block<'_>, key: &str) -> Option<Quantity> {
        let node = self.mistakes.require(block, key)?;
        let quantity = self.mistakes.quantity(node, &format!("`{key}`"), &[UnitOfMeasure::Millimetres])?;
        self.at_most(node, &format!("`{key}`"), &quantity, unknown::MOST_MILLIMETRES_OFF);
        let off = quantity.off.as_ref().map_or(Exact::ZERO, |(off, _)| off.clone());
        if (&quantity.value - off).signum() > 0 {
            return Some(quantity);
        }
        self.mistakes.add(
            Mistake::at(node.span, format!("`{key}` must stay above nought"), "nought or less is possible")
                .help("write what was measured, and a tolerance smaller than that"),
        );
        None
    }

    fn rests(&mut self, node: &Node) -> Option<Angle> {
        let quantity = self.mistakes.quantity(node, "`rests`", &[UnitOfMeasure::Degrees])?;
        if quantity.value.abs() > Exact::int(90) {
            self.mistakes.add(
                Mistake::at(node.span, "`rests` lies from -90 deg to +90 deg", "the horn points away")
                    .help("look at the linkage from the side on which the horn points up; 0 deg is upright"),
            );
            return None;
        }
        self.at_most(node, "`rests`", &quantity, unknown::MOST_DEGREES_OFF);
        let [value, off] = about(&quantity);
        Some(Angle::degrees(value, off))
    }
}

/// The far end of the rod.
enum End {
    Lever { lever: Length, pivots: Length },
    Slide { way: Length },
}
