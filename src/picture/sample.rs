//! A still that looks like an angiogram and is none: drawn here, of nobody. For the demo and for tests.

use super::pixels::{Channels, Pixels};

/// Its width and height, in pixels.
const SIDE: u16 = 512;

/// A vessel: where it runs, as the four points of a curve (Bézier), and how wide it is at its start and end.
struct Vessel {
    points: [(f32, f32); 4],
    wide: (f32, f32),
}

const fn vessel(points: [(f32, f32); 4], start: f32, end: f32) -> Vessel {
    Vessel { points, wide: (start, end) }
}

/// The catheter and the trunk, which contrast always fills.
const TRUNK: [Vessel; 4] = [
    vessel([(150.0, 0.0), (120.0, 60.0), (130.0, 110.0), (172.0, 132.0)], 7.0, 7.0),
    vessel([(172.0, 132.0), (190.0, 136.0), (205.0, 140.0), (222.0, 150.0)], 11.0, 10.0),
    vessel([(222.0, 150.0), (200.0, 200.0), (150.0, 260.0), (160.0, 380.0)], 8.0, 3.5),
    vessel([(190.0, 212.0), (150.0, 220.0), (110.0, 250.0), (92.0, 310.0)], 5.0, 2.5),
];
/// The long branch, beyond the place at which it can be lost.
const NEAR: [Vessel; 2] = [
    vessel([(222.0, 150.0), (250.0, 160.0), (276.0, 180.0), (296.0, 208.0)], 9.0, 7.5),
    vessel([(262.0, 170.0), (310.0, 170.0), (370.0, 196.0), (410.0, 260.0)], 5.5, 2.5),
];
const FAR: [Vessel; 4] = [
    vessel([(296.0, 208.0), (330.0, 256.0), (346.0, 340.0), (330.0, 452.0)], 7.5, 3.0),
    vessel([(316.0, 244.0), (360.0, 258.0), (392.0, 310.0), (400.0, 372.0)], 4.5, 2.0),
    vessel([(322.0, 262.0), (300.0, 290.0), (286.0, 320.0), (284.0, 352.0)], 2.5, 1.5),
    vessel([(334.0, 320.0), (312.0, 346.0), (300.0, 372.0), (298.0, 400.0)], 2.5, 1.5),
];

/// A drawn angiogram, the same each time; in one that is `lost` the long branch ends early.
#[must_use]
pub fn angiogram(lost: bool) -> Pixels {
    let side = usize::from(SIDE);
    let mut contrast = vec![0.0_f32; side * side];
    let far = if lost { &FAR[..0] } else { &FAR[..] };
    for vessel in TRUNK.iter().chain(&NEAR).chain(far) {
        fill(&mut contrast, vessel);
    }
    let mut grain = 0x2545_f491_4f6c_dd1d_u64;
    let mut data = Vec::with_capacity(side * side);
    for y in 0..SIDE {
        for x in 0..SIDE {
            let at = usize::from(y) * side + usize::from(x);
            let (x, y) = (f32::from(x), f32::from(y));
            // Soft tissue, the shadow of the spine, a rib or two, the round field.
            let tissue = 148.0 + 22.0 * (x / 170.0).sin() * (y / 210.0).cos() - 16.0 * bell(x, 96.0, 60.0);
            let ribs = 9.0 * ((y - 0.35 * x) / 34.0).sin().max(0.0);
            let from_centre = (x - 256.0).hypot(y - 256.0);
            let field = 1.0 - ((from_centre - 246.0) / 9.0).clamp(0.0, 1.0);
            let noise = f32::from(i16::from(next(&mut grain)) + i16::from(next(&mut grain)) - 255) / 32.0;
            let value = (tissue - ribs) * (1.0 - 0.62 * contrast[at].min(1.0)) * field + 12.0 + noise;
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 255")]
            data.push(value.clamp(0.0, 255.0) as u8);
        }
    }
    Pixels::new(SIDE.into(), SIDE.into(), Channels::Grey, data)
        .unwrap_or_else(|| unreachable!("a byte was pushed for each of its pixels"))
}

/// Fills a vessel with contrast: discs along its way, soft at their edge.
fn fill(contrast: &mut [f32], vessel: &Vessel) {
    const STEPS: u16 = 500;
    let side = usize::from(SIDE);
    for step in 0..=STEPS {
        let t = f32::from(step) / f32::from(STEPS);
        let (x, y) = along(&vessel.points, t);
        let radius = (vessel.wide.0 + (vessel.wide.1 - vessel.wide.0) * t) / 2.0;
        let reach = radius + 3.0;
        let range = |centre: f32| {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to the side")]
            let edge = |at: f32| at.clamp(0.0, f32::from(SIDE)) as usize;
            edge(centre - reach)..edge(centre + reach + 1.0)
        };
        for row in range(y) {
            for column in range(x) {
                #[expect(clippy::cast_precision_loss, reason = "below 512")]
                let away = (column as f32 - x).hypot(row as f32 - y);
                let depth = ((radius + 1.5 - away) / 3.0).clamp(0.0, 1.0);
                let seen = &mut contrast[row * side + column];
                *seen = seen.max(depth * (0.55 + 0.05 * radius).min(1.0));
            }
        }
    }
}

fn along(points: &[(f32, f32); 4], t: f32) -> (f32, f32) {
    let u = 1.0 - t;
    let weights = [u * u * u, 3.0 * u * u * t, 3.0 * u * t * t, t * t * t];
    points
        .iter()
        .zip(weights)
        .fold((0.0, 0.0), |sum, (point, weight)| (sum.0 + point.0 * weight, sum.1 + point.1 * weight))
}

fn bell(x: f32, centre: f32, wide: f32) -> f32 {
    (-((x - centre) / wide).powi(2)).exp()
}

/// The next byte of a row that looks like chance and is the same each time (xorshift).
fn next(state: &mut u64) -> u8 {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    state.to_be_bytes()[0]
}
