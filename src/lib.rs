//! How well a suture bridge holds a fractured piece of the shoulder socket's anterior rim.
//!
//! **A research and teaching estimate, not a medical device; not validated for any patient; the
//! treating surgeon's judgement, licensed practice and local rules decide.**
//!
//! # The problem
//!
//! A rigid fragment lies in its fracture bed. Strands from anchors in the scapula, over bone or
//! through labrum on the fragment, and screws through it are tied and tightened one after the other and
//! press it there; then it is pushed.
//! Wanted are the poses at rest, and the load that moves it.
//!
//! Units are N, mm, N·mm, MPa and MPa/mm, with radians inside and degrees in files and on screen. Axes:
//! x anterior, y superior, z lateral (out of the socket), on either side; a left shoulder is only
//! *drawn* mirrored. The bed has its own: `e_t` along the chord (superior), `d` down the fracture plane
//! (medial), `n` into the fragment.
//!
//! **Unknowns.** The pose `(c, Q)` of the fragment (6; a point X of the reduced fragment with reference
//! point X₀ stands at `x = X₀ + c + Q(X − X₀)`, `Q` a finite rotation), the place `y_k` of each sprung
//! anchor or bite (3 each), and, in a push, the load λ (1).
//!
//! **Equilibrium.** All forces on the fragment and their moments about `o = X₀ + c` vanish, and so does
//! the net force on each sprung point:
//!
//! ```text
//! r(c, Q, y, λ) = ( Σ f , Σ (x − o) × f ; f_k ) = 0
//! ```
//!
//! **Bed** (unilateral, of mated asperities, Coulomb, faded at its edge). For a cell of area A, moved by u, with
//! `u_n = u·n`, displacement along the bed `s = u − u_n n`, committed plastic slip `s_p` and crushed level `g_p`:
//!
//! ```text
//! h = a (1 − e^(−x/a)),  x = tan i₀ (√(s² + σ₀²) − σ₀)     ramp of the asperities
//! g = u_n − h − g_p,  p = min(k_n max(0, −g), p_c)         pressure; beyond p_c the level yields
//! q = −k_t (s − s_p),  if |q| > μp:  q ← μp q/|q|          friction, by radial return
//! f = A w (p n − p ∇h + q),   w = clamp(1 + (distance inside the crater)/f_e, 0, 1)
//! ```
//!
//! Reduced, every asperity sits in its hollow; slid, it rides up and is driven home by `−p ∇h`. Pressure and ramp
//! have the potential `½ k_n g²`. The ratio for leaving is μ + h′ (Patton's law of a rock joint in additive form).
//!
//! No tension and no cohesion. The weight w, taken at the cell's present foot on the bed plane, makes
//! a cell press only on bed: it is 1 inside the crater's outline and 0 beyond its broken edge, f_e wide.
//! `s_p` follows when a step is accepted.
//!
//! **Limb** (tension-only, elastic, with belt friction). Segments of length ℓ_i hold rest material S_i:
//!
//! ```text
//! T_i = EA max(0, (ℓ_i − S_i)/S_i)
//! e^(−μ_j θ_j) ≤ T_{j+1}/T_j ≤ e^(μ_j θ_j)     at turn j, of angle θ_j     (Euler–Eytelwein)
//! Σ S_i constant once tied;  while pulled, T at the tie end is given instead
//! ```
//!
//! A vertex between directions `u_i` and `u_{i+1}` bears `−T_i u_i + T_{i+1} u_{i+1}`. A segment shorter
//! than ℓ_s is *seated*: labrum sits on bone and it also bears compression `k_s (ℓ_s − ℓ)`.
//!
//! **Anchors and bites** are points on springs toward the bone they are fixed in, which for a bite moves with the
//! fragment and bears the reaction: `F = k_a d` of an anchor, `F = (k₀/c)(e^(c d) − 1)` of a bite. Limbs that share
//! one share its give. Without a stiffness an anchor is rigid.
//!
//! **Limits that give.** A spring runs out past its strength H, which falls as `H (1 − α/α₀)` with what has run out,
//! α; a knot or clamp bears no more than its load, and strand slides in beyond it; a strand breaks at its strength.
//! Each is a state that is committed with an accepted step: within a step the strength is that of its beginning, and
//! steps are repeated until nothing gives any more.
//!
//! **Settling.** Minutes: every bite's force falls to ρ_b of it, every strand's tension to ρ_s, at the pose as tied.
//! Cycles: a part that peaks at F in cycle n gains the set `F s₁/F₀ [L(n) − L(n−1)]`, `L(n) = 1 + b log₁₀ n`, with F
//! after the set; loops grow by a length a decade. Loads are of the settled repair by default.
//!
//! **Screw** (fixed in the scapula, a the direction from head to tip). It is drilled through the fragment as
//! that lies when it is tightened. From there the seat of the head has moved outward by o, the hole at the
//! fracture plane by s across a, and the hole's direction is b with the slope `τ = b − a (a·b)`:
//!
//! ```text
//! N = k_a max(0, o − o₀)        pull of the head, along a; o₀ leaves the preload when it is locked
//! f = −(K_ss s + K_st τ),   moment b × g,   g = −(K_st s + K_tt τ)        bearing of the shank
//! [K_ss K_st; K_st K_tt]⁻¹ = Σ over both sides  [A  ±B; ±B  C]
//! A = 2λ/k α,  B = 2λ²/k β,  C = 4λ³/k γ,   λ = (k/4EI)^(1/4),  k = k₀ d,  EI = E π d_c⁴/64
//! ```
//!
//! Each side of the fracture is a beam of finite length with free ends on Winkler's foundation (Hetényi
//! 1946); α, β, γ tend to 1 when it is long ([`end_flexibility`](verify::closed_form::shank::end_flexibility)).
//! Station by station bone yields at its crush strength, `|r| ≤ p_c d` per length (Broms 1964); f and g are then what
//! beam and yielding bone balance to, and the shank itself stays elastic. Along the axis head, shank and thread are
//! springs in series ([`Shank::axial`](mechanics::Shank::axial)). A head never pulls the fragment out, and about its
//! own axis a screw resists nothing.
//!
//! **Tissue.** An envelope `−k_s (c − c₀)`, `−k_r log(Q Q₀ᵀ)` toward a rest pose; tethers, which pull
//! only beyond their slack; dead loads.
//!
//! **Tying.** Each tie ramps the pull at the tie ends of its limbs from zero to their targets, freezes
//! Σ S and lets the knot grow by its slack. A reducing tie stops where the point of the fracture line
//! nearest its bite is back along the in-bed direction of the pull. Between ties, friction locks the
//! fragment against the next pull F (its limbs at their targets) while `|F_t − f_t| < μ (C − F·n)`, with
//! the bed's friction force f_t and compression C.
//!
//! **Push.** A point P on the fragment is moved along the unit vector e by δ, and λ is what that takes:
//! `e·(x_P − x_P⁰) = δ`, with the force `λ e` on P. Guided: turns are forbidden and their moments borne.
//!
//! **Joint** (a rigid head of radius R, its centre at h, on cartilage of stiffness k, without friction and labrum). At a
//! point x of the face `δ = R − |x − h|`, pressure `k max(0, δ)` along `h − x`; the fragment's part of the face lies at
//! its pose. Pressed with N along the socket's axis and slid along a direction e, the head's height is where
//! `F·z = N`; the stability ratio is the largest `−F·e/N`.
//!
//! **Certificate.** Every accepted state carries its evidence ([`Certificate`](mechanics::Certificate)):
//!
//! | quantity | limit |
//! |---|---|
//! | net force on fragment and on each sprung point | 1e-6 N, or 1e-8 of the largest force |
//! | net moment | 1e-5 N·mm, or the same share by the bed's radius of gyration |
//! | cell pressure, strand tension, pull of a screw's head | never below zero |
//! | shear beyond friction limit | 1e-9 MPa |
//! | tension beyond capstan bound | 1e-9 of it (or of 1 N) |
//! | shift of the tangent | zero |
//!
//! What cannot be certified is said to be so and is no result. That a fragment is not held is a
//! result: a named finding with the pose where it left.
//!
//! # Where things are
//!
//! Case file → rig → equilibrium → study → result → table, figure:
//!
//! | module | what |
//! |---|---|
//! | [`model`] | what a person types, checked into ready values |
//! | [`stats`] | distributions, samplers, sensitivity: doubt as mathematics |
//! | [`optimise`] | least cost in a box under constraints, of any function |
//! | [`anatomy`] | socket, fragment and places on them, in closed form |
//! | [`mechanics`] | bed, limb, screw, tissue, rig, solver, certificate |
//! | [`quantities`] | every number that is reported, one row each |
//! | [`study`] | questions: tie, push, rose, compare, tying orders, better places |
//! | [`verify`] | checks against what is known from outside, refinement, published tests |
//! | [`show`] | drawings and plots from results |
//! | [`files`] | files that appear whole or not at all |
//! | [`cli`] | arguments, messages, progress |
//! | `page` | the live page: what a browser asks, and what it is answered |
//! | [`math`] | vectors, rotations, twists |
//!
//! # Example
//!
//! ```
//! use rimhold::model::{Case, ConstructFile};
//! use rimhold::study::{self, PushPlan, result::Start};
//!
//! let case = Case::open("quarter")?;
//! let construct = ConstructFile::open("one-by-one")?.fit(&case)?;
//! let rig = study::rig(&case, &construct, Start::Reduced);
//! let (hold, tied) = study::tie(&case, &construct, &rig, Start::Reduced);
//! let tied = tied.expect("held, or `hold.outcome` says how it is not");
//! let push = study::push(&case, &construct, &rig, &tied, &PushPlan::default());
//! assert!(hold.outcome.is_held());
//! assert!(push.curve.iter().all(|point| point.certificate.holds()));
//! println!("{:.1?} N at 1 mm", push.load_at[1]);
//! # Ok::<(), rimhold::model::Problems>(())
//! ```

#![forbid(unsafe_code)]

pub mod anatomy;
#[cfg(feature = "cli")]
pub mod cli;
#[cfg(feature = "cli")]
pub mod files;
mod list;
pub mod math;
pub mod mechanics;
pub mod model;
pub mod optimise;
#[cfg(feature = "cli")]
mod page;
mod par;
pub mod quantities;
pub mod show;
pub mod stats;
pub mod study;
pub mod verify;

/// The caution that stands wherever a user looks.
pub const CAUTION: &str = "A research and teaching estimate, not a medical device; not validated for any patient; the treating surgeon's judgement, licensed practice and local rules decide.";
