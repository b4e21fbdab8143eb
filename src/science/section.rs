//! A circular section part full: geometry, critical depth, specific energy.

use super::pipe::{G, bore_area};
use super::solve;
use crate::units::{Area, Length, VolumeRate, kinds::*};

/// A circular bore, raw. Depths at or above the crown count as full.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Circle {
    pub(crate) d: f64,
}

/// Geometry of the wetted part, raw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Wetted {
    /// Area.
    pub(crate) area: f64,
    /// Wetted perimeter.
    pub(crate) perimeter: f64,
    /// Width of the surface.
    pub(crate) width: f64,
}

impl Circle {
    /// th = 2 acos(1 - 2 y/D); A = D²/8 (th - sin th); P = D th/2; T = D sin(th/2).
    pub(crate) fn wetted(self, depth: f64) -> Wetted {
        let d = self.d;
        let cosine = 1.0 - 2.0 * depth / d;
        if cosine >= 1.0 {
            return Wetted { area: 0.0, perimeter: 0.0, width: 0.0 };
        }
        if cosine <= -1.0 {
            return Wetted { area: bore_area(d), perimeter: std::f64::consts::PI * d, width: 0.0 };
        }
        let half = cosine.acos();
        let sine = (1.0 - cosine * cosine).sqrt();
        Wetted { area: d * d / 4.0 * (half - sine * cosine), perimeter: d * half, width: d * sine }
    }

    /// E = h + Q²/(2 g A²); above the crown h is the height of the pressure line over the invert.
    pub(crate) fn energy(self, depth: f64, q: f64) -> f64 {
        let a = self.wetted(depth).area;
        depth + q * q / (2.0 * G * a * a)
    }

    /// The depth at which Q² T = g A³, to 1e-6 of the bore.
    pub(crate) fn critical_depth(self, q: f64) -> f64 {
        if q <= 0.0 {
            return 0.0;
        }
        let d = self.d;
        // The flow for which a depth is critical; it rises with depth without end.
        let short = |y: f64| {
            let w = self.wetted(y);
            (G * w.area / w.width.max(f64::MIN_POSITIVE)).sqrt() * w.area - q
        };
        let tolerance = d * 1e-6;
        // A depth at which about q is critical: Q = sqrt(g D) D² (y/D)^1.93 nearly, good enough to start a bracket.
        let guess = d * (q / (d * d * (G * d).sqrt())).sqrt().min(1.0);
        let (low, high) = (guess * LOW_GUESS, (guess * HIGH_GUESS).min(d * (1.0 - 1e-9)));
        let (at_low, at_high) = (short(low), short(high));
        let found = if at_low < 0.0 && at_high >= 0.0 {
            solve::root_between(short, (low, at_low), (high, at_high), tolerance)
        } else {
            solve::root(short, d * 1e-7, d * (1.0 - 1e-9), tolerance)
        };
        // Past the bracket the section is full to a billionth of its bore.
        found.unwrap_or(if short(d * HALF) < 0.0 { d * (1.0 - 1e-9) } else { d * 1e-7 })
    }
}
// Ends of the first bracket of the critical depth; they cost nothing if wrong.
const LOW_GUESS: f64 = 0.85;
const HIGH_GUESS: f64 = 1.15;
const HALF: f64 = 0.5;

/// Wetted area of a circular bore filled to `depth`: `A = D²/8 (th - sin th)`, `th = 2 acos(1 - 2 y/D)`. Geometry, exact.
pub fn wetted_area(bore: Length, depth: Length) -> Area {
    AREA.of(Circle { d: bore.value }.wetted(depth.value).area)
}
/// Wetted perimeter: `P = D th/2`. Geometry, exact.
pub fn wetted_perimeter(bore: Length, depth: Length) -> Length {
    LENGTH.of(Circle { d: bore.value }.wetted(depth.value).perimeter)
}
/// Width of the surface: `T = D sin(th/2)`. Geometry, exact.
pub fn surface_width(bore: Length, depth: Length) -> Length {
    LENGTH.of(Circle { d: bore.value }.wetted(depth.value).width)
}
/// Critical depth in a circular bore: the root of `Q² T = g A³`, within 1e-6 of the bore. It never reaches the crown.
pub fn critical_depth(bore: Length, flow: VolumeRate) -> Length {
    LENGTH.of(Circle { d: bore.value }.critical_depth(flow.value))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::si::*;
    use std::f64::consts::PI;

    #[test]
    fn geometry_by_other_routes() {
        let c = Circle { d: 0.1 };
        // Half full, empty and full by hand.
        let half = c.wetted(0.05);
        assert!((half.area - PI * 0.01 / 8.0).abs() < 1e-12 && (half.perimeter - PI * 0.05).abs() < 1e-12);
        assert!((half.width - 0.1).abs() < 1e-12);
        assert_eq!(c.wetted(0.0).area, 0.0);
        assert!((c.wetted(0.2).area - PI * 0.0025).abs() < 1e-15);
        // The area is the integral of the width.
        for depth in [0.01, 0.03, 0.07, 0.095] {
            let n = 20_000;
            let integral: f64 =
                (0..n).map(|i| c.wetted(depth * (f64::from(i) + 0.5) / f64::from(n)).width).sum::<f64>() * depth
                    / f64::from(n);
            assert!((integral / c.wetted(depth).area - 1.0).abs() < 1e-5, "{depth}");
        }
    }

    /// Q/(sqrt(g) D^2.5), J and E/D at critical depth y/D; the classic table of a circular section (Chow 1959 prints such).
    #[test]
    fn critical_flow_table() {
        let d: f64 = 0.052;
        for (y, q, j, e) in [
            (0.2, 0.0418, 0.053, 0.270),
            (0.3, 0.0921, 0.117, 0.408),
            (0.4, 0.1605, 0.204, 0.550),
            (0.5, 0.2461, 0.313, 0.696),
            (0.6, 0.3487, 0.444, 0.851),
            (0.7, 0.4700, 0.598, 1.020),
            (0.8, 0.6181, 0.787, 1.221),
        ] {
            let flow = q * G.sqrt() * d.powf(2.5);
            let c = Circle { d };
            let yc = c.critical_depth(flow);
            assert!((yc / d - y).abs() < 4e-4, "{y}: {}", yc / d);
            assert!((c.energy(yc, flow) / d - e).abs() < 1e-3, "{y}: {}", c.energy(yc, flow) / d);
            let loading = flow / bore_area(d) / (G * d).sqrt();
            assert!((loading - j).abs() < 6e-4, "{y}: {loading}");
        }
    }

    #[test]
    fn energy_is_least_at_critical_depth_for_every_flow() {
        for d in [0.015, 0.052, 0.2] {
            let c = Circle { d };
            for exponent in -30..=12 {
                let flow = 10f64.powf(f64::from(exponent) / 6.0) * bore_area(d) * (G * d).sqrt();
                let y = c.critical_depth(flow);
                assert!(y > 0.0 && y < d, "{flow}");
                let e = c.energy(y, flow);
                assert!(e <= c.energy(y * 0.99, flow) * (1.0 + 1e-9), "{d} {flow}");
                let above = (y * 1.01).min(d);
                assert!(e <= c.energy(above, flow) * (1.0 + 1e-7), "{d} {flow}");
            }
            assert_eq!(c.critical_depth(0.0), 0.0);
        }
    }

    #[test]
    fn half_full_bulkheads() {
        // 52 mm half full: 28.5 L/min, 36.2 mm over the invert, 41.3 with an entrance loss of half a velocity head; 77.9 mm: 78.3, 54.2, 61.9.
        for (d, q, e, with_loss) in [(52.0, 28.5, 36.2, 41.3), (77.9, 78.3, 54.2, 61.9)] {
            let bore = SHORT_LENGTH.of(mm(d));
            let flow = FLOW.of(l_min(q));
            let y = critical_depth(bore, flow);
            assert!((y.value - mm(d) / 2.0).abs() < mm(0.05));
            let energy = LENGTH.of(Circle { d: bore.value }.energy(y.value, flow.value));
            assert!((energy.value - mm(e)).abs() < mm(0.06));
            let head = energy - y;
            assert!(((energy + head * 0.5).value - mm(with_loss)).abs() < mm(0.06));
            // Twice the surface width times the depth exceeds the area, and the perimeter the width.
            assert!(wetted_perimeter(bore, y) > surface_width(bore, y) && wetted_area(bore, y).value > 0.0);
        }
    }
}
