//! A quantity over time against its limits.
//!
//! A value is a dot, joined to its neighbours; a slot without a value breaks the line and is
//! hatched. The centre line and the limits are steps named at their right ends. Signals are ringed
//! and numbered, actions are flags; both are listed beneath the plot.

mod layers;
mod lines;
mod words;

use super::ends::End;
use super::flags::Flags;
use super::notes::Notes;
use super::plot::{Plot, Range, WIDTH};
use super::reach::reach;
use super::sheet::{self, Told};
use super::slots::SlotAxis;
use super::values::{self, Dot};
use super::{Band, Marker, Signal, SlotName};
use super::{ends, gaps, rings};
use crate::figure::svg::Element;
use crate::figure::{Figure, number};
use lines::Step;

/// A quantity over time, with limits, signals and actions.
#[derive(Debug, Clone, PartialEq)]
pub struct ControlChart {
    /// What it finds, in one line.
    pub title: String,
    /// What the values are, with their unit, such as `per 1,000 procedures`; the axis upwards.
    pub unit: String,
    /// What the slots are, such as `month of the procedure`; the axis to the right and the
    /// first column of the table.
    pub x_title: String,
    /// What it is made of, such as `41 events in 5,230 procedures, 36 months`; may be empty.
    pub counted: String,
    /// The slots in order; each is one step of the axis, with a value or without.
    pub points: Vec<Slot>,
    /// The name of the centre line, such as `mean 7.8`.
    pub centre_label: String,
    /// The name of the upper limit, such as `upper limit`; the number is for the caller to add.
    pub upper_label: String,
    /// The name of the lower limit.
    pub lower_label: String,
    /// The slots from which the limits were computed, if not from all.
    pub baseline: Option<Baseline>,
    /// What was done, in order of time.
    pub actions: Vec<Marker>,
    /// A range from elsewhere.
    pub band: Option<Band>,
    /// What rules say of it.
    pub signals: Vec<Signal>,
    /// The kind of chart, how its limits and rules are made and where that is published. May be
    /// several sentences.
    pub source_rule: String,
}

/// One step of time.
#[derive(Debug, Clone, PartialEq)]
pub struct Slot {
    /// How it is called.
    pub name: SlotName,
    /// The value, in the unit of the chart; `None`: not counted. One that is not finite is not drawn.
    pub value: Option<f64>,
    /// The centre line here.
    pub centre: Option<f64>,
    /// The lower limit here; `None` where there is none.
    pub lower: Option<f64>,
    /// The upper limit here; `None` where there is none.
    pub upper: Option<f64>,
    /// What the value is made of, such as `3 of 152`, or why it is not counted.
    pub counts: String,
}

/// The stretch from which the limits were computed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Baseline {
    /// The index of its first slot.
    pub from: usize,
    /// The index of its last slot.
    pub to: usize,
    /// Its name, such as `baseline: the first 24 months`.
    pub label: String,
}

/// The height of the plot.
const HEIGHT: f64 = 240.0;
/// The height of the row of the baseline.
const BASELINE: f64 = 22.0;

impl ControlChart {
    /// Draws it. `prefix` makes its ids unique on the page.
    #[must_use]
    pub fn draw(&self, prefix: &str) -> Figure {
        let range = self.range();
        let left = range.gutter();
        let right = WIDTH - ends::gutter(self.names());
        let axis = SlotAxis::new(self.points.iter().map(|slot| &slot.name), left, right);
        let flags = Flags::place(&self.actions, &axis, left, right);
        let has_baseline = self.baseline_ends().is_some();
        let top = 26.0 + flags.height() + if has_baseline { BASELINE } else { 0.0 };
        let plot = Plot { left, right, top, height: HEIGHT, range };
        let dots = values::dots(self.points.iter().map(|slot| slot.value), 1.0, &plot, &axis);
        let notes = self.notes(&plot, &flags, &dots);

        let mut drawn = Element::new("g");
        self.draw_plot(&mut drawn, &plot, &axis, &flags, &dots);
        let bottom = plot.bottom() + axis.height();
        let told = Told {
            description: words::description(self, &notes),
            table: words::table(self),
            summary: words::summary(self),
        };
        sheet::figure((prefix, &self.title), drawn, (left, bottom), &notes, told)
    }

    /// From the back to the front.
    fn draw_plot(
        &self,
        root: &mut Element,
        plot: &Plot,
        axis: &SlotAxis<'_>,
        flags: &Flags<'_>,
        dots: &[Dot],
    ) {
        layers::draw_band(self, root, plot);
        plot.draw_values(root, &self.unit);
        let is_gap: Vec<bool> = self.points.iter().map(|slot| slot.plotted().is_none()).collect();
        let mut room = flags.room(plot);
        gaps::draw(root, plot, axis, &is_gap, &mut room);
        axis.draw(root, plot, &self.x_title);
        if let Some((from, to)) = self.baseline_ends() {
            let label = self.baseline.as_ref().map_or("", |baseline| &baseline.label);
            layers::draw_baseline(
                root,
                plot,
                axis.ends(from, to + 1),
                label,
                plot.top - flags.height() - 6.0,
            );
        }
        let mut names: Vec<End<'_>> = Vec::new();
        for (step, label) in self.steps() {
            let drawn = lines::draw(root, plot, axis, &self.points, step);
            names.extend(drawn.end.map(|y| End::of_line(y, label)));
            room.lines.extend(drawn.segments.into_iter().map(|line| (line, 2)));
        }
        let band = self.band.as_ref().and_then(|band| Some((layers::band_middle(band, plot)?, band)));
        names.extend(band.map(|(y, band)| End::of_line(y, &band.label)));
        ends::draw(root, plot, &names);
        flags.draw(root, plot);
        values::draw(root, dots, axis.dot_radius(), &mut room);
        values::name_cut(root, dots, &mut room);
        let ringed = self.signals.iter().map(|signal| values::ringed(dots, signal.number, &signal.slots));
        rings::draw(root, &ringed.collect::<Vec<_>>(), axis.dot_radius(), &mut room);
        if self.points.is_empty() {
            plot.draw_nothing(root, "no values yet");
        }
    }

    /// The lines in steps, with their names.
    fn steps(&self) -> [(Step, &str); 3] {
        [
            (Step::Upper, self.upper_label.as_str()),
            (Step::Centre, self.centre_label.as_str()),
            (Step::Lower, self.lower_label.as_str()),
        ]
    }

    /// What may be named at the right.
    fn names(&self) -> impl Iterator<Item = &str> {
        let steps = self.steps().into_iter();
        let used = steps.filter(|(step, _)| self.points.iter().any(|slot| step.of(slot).is_some()));
        used.map(|(_, label)| label).chain(self.band.iter().map(|band| band.label.as_str()))
    }

    fn range(&self) -> Range {
        let values: Vec<f64> = self.points.iter().filter_map(|slot| slot.value).collect();
        let lines: Vec<f64> =
            self.points.iter().flat_map(|slot| [slot.upper, slot.centre]).flatten().collect();
        let also: Vec<f64> = self.band.iter().flat_map(|band| [band.low, band.high]).collect();
        Range::new(0.0, reach(&values, &lines, &also))
    }

    /// The first and the last slot of the baseline, when it lies on the chart.
    fn baseline_ends(&self) -> Option<(usize, usize)> {
        let baseline = self.baseline.as_ref()?;
        let last = self.points.len().checked_sub(1)?;
        let (from, to) = (baseline.from.min(baseline.to), baseline.from.max(baseline.to).min(last));
        (from <= last).then_some((from, to))
    }

    fn notes(&self, plot: &Plot, flags: &Flags<'_>, dots: &[Dot]) -> Notes {
        let mut notes = Notes::default();
        for signal in &self.signals {
            notes.ring(signal.number, &signal.words);
        }
        flags.tell(&mut notes);
        for sentence in words::cut(self, plot, dots) {
            notes.say(&sentence);
        }
        notes.say(&words::gaps(self, "Hatched: not counted"));
        notes.say(&self.counted);
        notes.say(&self.source_rule);
        notes
    }
}

impl Slot {
    /// The value, when a scale can hold it.
    fn plotted(&self) -> Option<f64> {
        self.value.and_then(number::plotted)
    }
}

#[cfg(test)]
pub(in crate::figure::chart) mod examples;
#[cfg(test)]
pub(in crate::figure::chart) mod tests;
