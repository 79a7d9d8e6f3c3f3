//! Finding roots: known ones, jumps that are none, and what is nearest where there is none.

use fettlebook::formula::{Roots, roots};

fn at(found: &Roots) -> &[f64] {
    match found {
        Roots::At(places) => places,
        other => panic!("{other:?}"),
    }
}

fn near(found: &[f64], expected: &[f64], within: f64) {
    assert_eq!(found.len(), expected.len(), "{found:?} {expected:?}");
    for (found, expected) in found.iter().zip(expected) {
        assert!(
            (found - expected).abs() <= within * expected.abs().max(1.0),
            "{found} {expected}"
        );
    }
}

#[test]
fn known_roots_are_found() {
    near(
        at(&roots(|x| Some(x * x - 2.0), 0.0, 3.0, 30)),
        &[2.0_f64.sqrt()],
        1e-13,
    );
    near(
        at(&roots(|x| Some(x.sin()), 1.0, 10.0, 40)),
        &[1.0, 2.0, 3.0].map(|n| n * std::f64::consts::PI),
        1e-13,
    );
    near(
        at(&roots(
            |x| Some((x - 1.0) * (x - 2.0) * (x - 3.0)),
            0.0,
            5.0,
            7,
        )),
        &[1.0, 2.0, 3.0],
        1e-12,
    );
    // The ITP paper's hard cases (table 1): ill-conditioned and flat functions.
    near(
        at(&roots(|x| Some(x * x.exp() - 1.0), -1.0, 1.0, 1)),
        &[0.567_143_290_409_783_8],
        1e-13,
    );
    near(
        at(&roots(|x| Some((x.powi(3) - 1e-6).cbrt()), -1.0, 2.0, 1)),
        &[0.01],
        1e-9,
    );
    near(at(&roots(|x| Some(x.powi(9)), -0.9, 1.0, 1)), &[0.0], 1e-2);
}

#[test]
fn ends_and_points_that_are_zero_count_once() {
    assert_eq!(roots(|x| Some(x - 2.0), 0.0, 4.0, 4), Roots::At(vec![2.0]));
    assert_eq!(roots(Some, 0.0, 4.0, 4), Roots::At(vec![0.0]));
    assert_eq!(roots(|x| Some(4.0 - x), 4.0, 0.0, 4), Roots::At(vec![4.0]));
    assert_eq!(roots(|_| Some(0.0), 0.0, 4.0, 4), Roots::At(vec![0.0, 4.0]));
    assert_eq!(roots(Some, 0.0, 0.0, 0), Roots::At(vec![0.0]));
}

#[test]
fn a_touching_root_is_found_and_a_near_miss_is_told() {
    near(
        at(&roots(|x| Some((x - 1.234).powi(2)), 0.0, 3.0, 10)),
        &[1.234],
        1e-6,
    );
    match roots(|x| Some((x - 1.234).powi(2) + 0.5), 0.0, 3.0, 10) {
        Roots::Nearest { at, value } => {
            assert!(
                (at - 1.234).abs() < 1e-6 && (value - 0.5).abs() < 1e-12,
                "{at} {value}"
            );
        }
        other => panic!("{other:?}"),
    }
    assert_eq!(
        roots(|x| Some(x + 1.0), 0.0, 3.0, 10),
        Roots::Nearest {
            at: 0.0,
            value: 1.0
        }
    );
}

#[test]
fn jumps_and_poles_are_no_roots() {
    let step = |x: f64| Some(if x < 1.3 { -1.0 } else { 1.0 });
    assert!(matches!(roots(step, 0.0, 3.0, 10), Roots::Nearest { .. }));
    assert!(matches!(
        roots(|x| Some(1.0 / (x - 1.3)), 0.0, 3.0, 10),
        Roots::Nearest { .. }
    ));
    near(
        at(&roots(|x| Some(x.tan()), 1.0, 4.0, 10)),
        &[std::f64::consts::PI],
        1e-13,
    );
}

#[test]
fn places_without_a_value_are_passed_over() {
    let half = |x: f64| (x >= 0.0).then(|| x.sqrt() - 1.0);
    near(at(&roots(half, -5.0, 5.0, 50)), &[1.0], 1e-13);
    assert_eq!(roots(|_| None, 0.0, 1.0, 5), Roots::NoValue);
    assert_eq!(roots(|_| Some(f64::NAN), 0.0, 1.0, 5), Roots::NoValue);
    assert_eq!(roots(Some, f64::NAN, 1.0, 5), Roots::NoValue);
    assert_eq!(roots(Some, 0.0, f64::INFINITY, 5), Roots::NoValue);
}

/// ITP's promise: in the worst case one step more than bisection, here on a function made to mislead interpolation.
#[test]
fn never_more_steps_than_bisection_and_one() {
    let mut calls = 0_u32;
    let found = roots(
        |x| {
            calls += 1;
            Some(if x < 0.987 {
                -1e-9 * (1.0 - x) - 1e-12
            } else {
                1e9 * (x - 0.987)
            })
        },
        0.0,
        1.0,
        1,
    );
    assert!(matches!(found, Roots::At(_)), "{found:?}");
    // Two ends, then log2(1 / 2e-14) = 45.5 halvings.
    assert!(calls <= 2 + 46 + 1, "{calls}");
    let mut calls = 0_u32;
    roots(
        |x| {
            calls += 1;
            Some(x.exp() - 2.0)
        },
        0.0,
        1.0,
        1,
    );
    assert!(calls <= 14, "{calls}");
}
