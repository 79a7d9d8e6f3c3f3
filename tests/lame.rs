//! The interference joint against a numerical solution of the equations of elasticity, worked out here.
//!
//! A ring in plane stress obeys r² u″ + r u′ − u = 0 (equilibrium of the radial displacement u, Hooke's law put in). It is
//! solved by finite differences of second order with the stress given on both edges; nothing of Lamé's closed form is
//! used. From the displacement of both seats for a unit pressure follows the pressure that a given interference makes.

#[path = "support/calculators.rs"]
mod calculators;

use calculators::run;
use fettlebook::calculator::builtin;

/// Points across a wall: the answer is then within a few millionths.
const POINTS: usize = 4_000;

/// A ring or a solid disc with its material.
struct Ring {
    inner: f64,
    outer: f64,
    modulus: f64,
    poisson: f64,
}

impl Ring {
    /// Displacements across the wall for radial stresses on the inner and the outer edge; a disc without a bore has no
    /// displacement in its middle.
    fn solve(&self, inner_stress: f64, outer_stress: f64) -> Vec<f64> {
        let step = (self.outer - self.inner) / (POINTS - 1) as f64;
        let radius = |index: usize| self.inner + step * index as f64;
        // Coefficients of the neighbour below, the point, the neighbour above, and the right side.
        let mut rows: Vec<[f64; 4]> = (0..POINTS)
            .map(|index| {
                let r = radius(index).max(f64::MIN_POSITIVE);
                let (square, slope) = (1.0 / (step * step), 1.0 / (2.0 * step * r));
                [
                    square - slope,
                    -2.0 * square - 1.0 / (r * r),
                    square + slope,
                    0.0,
                ]
            })
            .collect();
        // u′ on an edge is stress (1 − ν²) / E − ν u / r; the point beyond the edge is put in by it.
        let strain = |stress: f64| stress * (1.0 - self.poisson * self.poisson) / self.modulus;
        if self.inner == 0.0 {
            rows[0] = [0.0, 1.0, 0.0, 0.0];
        } else {
            let [below, own, above, _] = rows[0];
            let turned = 2.0 * step * self.poisson / self.inner;
            rows[0] = [
                0.0,
                own + below * turned,
                above + below,
                2.0 * step * strain(inner_stress) * below,
            ];
        }
        let last = POINTS - 1;
        let [below, own, above, _] = rows[last];
        let turned = 2.0 * step * self.poisson / self.outer;
        rows[last] = [
            below + above,
            own - above * turned,
            0.0,
            -2.0 * step * strain(outer_stress) * above,
        ];
        solved(rows)
    }

    /// The hoop stress on an edge from the displacement there and the radial stress.
    fn hoop(&self, displacement: f64, radius: f64, radial: f64) -> f64 {
        self.modulus * displacement / radius + self.poisson * radial
    }
}

/// A system of three diagonals, by elimination (Thomas).
fn solved(mut rows: Vec<[f64; 4]>) -> Vec<f64> {
    for index in 1..rows.len() {
        let [_, own, above, right] = rows[index - 1];
        let share = rows[index][0] / own;
        rows[index][1] -= share * above;
        rows[index][3] -= share * right;
    }
    let mut values = vec![0.0; rows.len()];
    for index in (0..rows.len()).rev() {
        let beyond = values.get(index + 1).copied().unwrap_or(0.0);
        values[index] = (rows[index][3] - rows[index][2] * beyond) / rows[index][1];
    }
    values
}

/// Seat, outside, bore, interference (mm), moduli (GPa), Poisson's ratios: walls thick and thin, solid and hollow, metals alike and
/// not.
const JOINTS: [[f64; 8]; 10] = [
    [40.0, 70.0, 0.0, 0.030, 210.0, 210.0, 0.30, 0.30],
    [60.0, 100.0, 28.0, 0.072, 205.0, 205.0, 0.30, 0.30],
    [60.0, 100.0, 32.0, 0.023, 205.0, 205.0, 0.30, 0.30],
    [50.0, 58.0, 20.0, 0.020, 207.0, 207.0, 0.30, 0.30],
    [30.0, 60.0, 0.0, 0.045, 71.0, 210.0, 0.33, 0.30],
    [60.0, 110.0, 25.0, 0.050, 110.0, 210.0, 0.25, 0.30],
    [63.5, 88.9, 50.8, 0.081, 207.0, 117.0, 0.27, 0.27],
    [25.0, 140.0, 5.0, 0.015, 105.0, 193.0, 0.26, 0.30],
    [120.0, 150.0, 100.0, 0.080, 114.0, 69.0, 0.34, 0.33],
    [12.0, 16.0, 0.0, 0.008, 45.0, 210.0, 0.35, 0.28],
];

#[test]
fn the_joint_agrees_with_a_numerical_solution() {
    let definition = &builtin()["interference-joint"];
    let mut most = 0.0_f64;
    for [
        seat,
        outside,
        bore,
        tight,
        hub_modulus,
        shaft_modulus,
        hub_poisson,
        shaft_poisson,
    ] in JOINTS
    {
        let given = format!(
            "hole={seat}; shaft={:.6}; hub_outer={outside}; shaft_bore={bore}; length={:.2}; hub_modulus={hub_modulus}; \
             shaft_modulus={shaft_modulus}; hub_poisson={hub_poisson}; shaft_poisson={shaft_poisson}; \
             hub_roughness=0; shaft_roughness=0",
            seat + tight,
            seat * 0.8
        );
        let sheet = run(definition, &given);
        assert_eq!(sheet.refused, None, "{given}");
        let hub = Ring {
            inner: seat / 2e3,
            outer: outside / 2e3,
            modulus: hub_modulus * 1e9,
            poisson: hub_poisson,
        };
        let shaft = Ring {
            inner: bore / 2e3,
            outer: seat / 2e3,
            modulus: shaft_modulus * 1e9,
            poisson: shaft_poisson,
        };
        let (opened, closed) = (hub.solve(-1.0, 0.0), shaft.solve(0.0, -1.0));
        let pressure = tight / 2e3 / (opened[0] - closed[POINTS - 1]);
        let hub_hoop = hub.hoop(opened[0] * pressure, hub.inner, -pressure);
        let shaft_hoop = shaft.hoop(closed[POINTS - 1] * pressure, shaft.outer, -pressure);
        let mut expected = vec![
            ("pressure", pressure),
            ("hub_hoop", hub_hoop),
            ("shaft_hoop", shaft_hoop),
            ("hub_growth", 2.0 * opened[POINTS - 1] * pressure),
        ];
        if bore > 0.0 {
            expected.push(("bore_closing", -2.0 * closed[0] * pressure));
            expected.push((
                "shaft_bore_hoop",
                shaft.hoop(closed[0] * pressure, shaft.inner, 0.0),
            ));
        }
        for (step, numerical) in expected {
            let amount = sheet.step(step).and_then(|line| line.amount());
            let value = amount.unwrap_or_else(|| panic!("{step} of {given}")).value;
            let off = (value / numerical - 1.0).abs();
            most = most.max(off);
            assert!(
                off < 1e-3,
                "{step} of {given}: {value} and {numerical} differ by {off:e}"
            );
        }
    }
    println!(
        "{} joints agree with the numerical solution within {:.1e}",
        JOINTS.len(),
        most
    );
}

/// A ring under inner pressure alone, textbook ratio: outside twice the bore makes a hoop stress of 5/3 of the pressure
/// (Lamé; Timoshenko, Strength of Materials). The solver is held to it, so that it is not only held to the calculator.
#[test]
fn the_solver_itself_is_right() {
    let ring = Ring {
        inner: 0.05,
        outer: 0.1,
        modulus: 200e9,
        poisson: 0.3,
    };
    let moved = ring.solve(-1e6, 0.0);
    assert!((ring.hoop(moved[0], 0.05, -1e6) / 1e6 - 5.0 / 3.0).abs() < 1e-5);
    assert!((ring.hoop(moved[POINTS - 1], 0.1, 0.0) / 1e6 - 2.0 / 3.0).abs() < 1e-5);
}
