//! Handbook values of segments, and what a fragment keeps to.

use super::*;

fn default_shape() -> Fragment {
    Fragment::new(
        Socket { radius: 13.0, face_radius: Some(30.0) },
        FragmentShape { width: 6.5, direction: clock_angle(4.0), depth: 10.0, tilt: 10f64.to_radians(), length: None },
    )
    .unwrap()
}

#[test]
fn outline_vanishes_on_its_edges_and_has_the_right_gradient() {
    let f = default_shape();
    for k in -9..=9 {
        let t = f.half_chord * 0.1 * f64::from(k);
        let (top, bottom) = f.bed_column(t);
        assert!(f.outline(t, top).0.abs() < 1e-12, "face edge at t = {t}");
        assert!(f.outline(t, bottom).0.abs() < 1e-12, "wall edge at t = {t}");
        for m in [top + 0.3 * (bottom - top), top - 0.4, bottom + 0.4] {
            let (_, gradient) = f.outline(t + 0.01, m);
            let h = 1e-6;
            let dt = (f.outline(t + 0.01 + h, m).0 - f.outline(t + 0.01 - h, m).0) / (2.0 * h);
            let dm = (f.outline(t + 0.01, m + h).0 - f.outline(t + 0.01, m - h).0) / (2.0 * h);
            assert!((gradient[0] - dt).abs() < 1e-8 && (gradient[1] - dm).abs() < 1e-8);
        }
    }
}

#[test]
fn wall_and_plane_meet_at_the_measured_depth() {
    let f = default_shape();
    let (top, bottom) = f.bed_column(0.0);
    assert_eq!(top, 0.0);
    assert!((bottom * libm::cos(f.shape.tilt) - 10.0).abs() < 1e-12);
}

#[test]
fn centroid_and_volume_agree_with_counting_small_cubes() {
    let f = default_shape();
    let (mut n, mut sum) = (0.0, Vec3::zeros());
    let h = 0.1;
    for i in -140..140 {
        for j in -140..140 {
            for k in -120..40 {
                let p = Vec3::new(f64::from(i) + 0.5, f64::from(j) + 0.5, f64::from(k) + 0.5) * h;
                if f.depth_inside(&p) > 0.0 {
                    n += 1.0;
                    sum += p;
                }
            }
        }
    }
    // Cubes of 0.1 mm: the surface layer leaves an error of about h·area/volume/√n_surface.
    assert!((n * h * h * h / f.volume - 1.0).abs() < 2e-3, "{} {}", n * h * h * h, f.volume);
    assert!((sum / n - f.centroid).norm() < 5e-3);
}
