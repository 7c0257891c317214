//! The engine at work: tying and pushing the dearest shipped construct, on beds of growing
//! fineness and in growing numbers of steps, and what surrounds it.
//!
//! `cargo bench` prints times and, by divan's allocation profiler, allocations. What is allocated
//! belongs to the start of a study and to the records of its steps; Newton iterations allocate
//! nothing, so allocations grow with recorded steps and not with bed cells.

use divan::{AllocProfiler, Bencher};
use rimhold::math::Vec3;
use rimhold::mechanics::{Arrival, Motion, Ramp, Solver};
use rimhold::model::place::variables;
use rimhold::model::spread::{Design, Subject, default_spread};
use rimhold::model::{Case, Construct, ConstructFile, Split};
use rimhold::optimise::{Plan, seek};
use rimhold::show::figures::{Figure, Theme, construct as draw_construct, load_sharing, resistance};
use rimhold::stats::{Draws, Method};
use rimhold::study::place::{Effort, Objective, Question};
use rimhold::study::result::{Hold, Orders, Push, Start};
use rimhold::study::scatter::{Layout, Probe, Row, probe as run};
use rimhold::study::{Chosen, OrdersPlan, PushPlan, Trial, TrialPlan, orders, push, rig, tie};

#[global_allocator]
static ALLOCATOR: AllocProfiler = AllocProfiler::system();

fn main() {
    divan::main();
}

/// The default case with at least `cells` bed cells, and a shipped construct on it.
fn scene(construct: &str, cells: usize) -> (Case, Construct) {
    let mut case = Case::open("quarter").expect("the default case is built in");
    case.bed.cells = cells;
    let construct = ConstructFile::open(construct)
        .and_then(|file| file.fit(&case))
        .expect("shipped constructs fit the default case");
    (case, construct)
}

/// Ties in sequence and pushes 2 mm; both must succeed, or the time would be that of a failure.
fn tie_and_push(case: &Case, construct: &Construct, steps: usize) -> (Hold, Push) {
    let rig = rig(case, construct, Start::Reduced);
    let (hold, tied) = tie(case, construct, &rig, Start::Reduced);
    let tied = tied.expect("the construct holds");
    let plan = PushPlan { steps, ..PushPlan::default() };
    let push = push(case, construct, &rig, &tied, &plan);
    assert!(push.outcome.is_held() && push.curve.len() == steps + 1);
    (hold, push)
}

/// The job whose time is promised: two by two crossed with both loops, tied and pushed 2 mm in 40
/// steps, against the number of bed cells asked for.
#[divan::bench(args = [400, 800, 1600, 3200])]
fn tie_and_push_40_steps(bencher: Bencher<'_, '_>, cells: usize) {
    let (case, construct) = scene("two-by-two-crossed", cells);
    bencher.bench_local(|| tie_and_push(&case, &construct, 40));
}

/// What the live page waits for: two by two crossed tied from the displaced pose and pushed as tied, while one drags, and
/// whole, to failure.
#[divan::bench(args = [false, true])]
fn trial(bencher: Bencher<'_, '_>, whole: bool) {
    let case = Case::open("quarter").expect("the default case is built in");
    let construct = ConstructFile::open("two-by-two-crossed").and_then(|file| file.fit(&case));
    let construct = construct.expect("shipped constructs fit the default case");
    let push = Some(PushPlan { settled: false, ..PushPlan::default() });
    let plan = TrialPlan { push, whole, ..TrialPlan::default() };
    bencher.bench_local(|| Trial::run(&case, &construct, &plan, &()).expect("it is not ended"));
}

/// The push alone, against its number of steps, on 400 cells.
#[divan::bench(args = [40, 80, 160])]
fn push_alone(bencher: Bencher<'_, '_>, steps: usize) {
    let (case, construct) = scene("two-by-two-crossed", 400);
    let rig = rig(&case, &construct, Start::Reduced);
    let (_, tied) = tie(&case, &construct, &rig, Start::Reduced);
    let tied = tied.expect("the construct holds");
    let plan = PushPlan { steps, ..PushPlan::default() };
    bencher.bench_local(|| push(&case, &construct, &rig, &tied, &plan));
}

/// One ramp of a push to a distance (in tenths of a millimetre), by a solver that has run before. The
/// farther, the more Newton iterations: what they would allocate would grow with the distance.
#[divan::bench(args = [1, 5, 20])]
fn ramp_alone(bencher: Bencher<'_, '_>, tenths: u32) {
    let (case, construct) = scene("two-by-two-crossed", 400);
    let rig = rig(&case, &construct, Start::Reduced);
    let (_, tied) = tie(&case, &construct, &rig, Start::Reduced);
    let tied = tied.expect("the construct holds");
    let push_to = |distance: f64| {
        let mut controls = tied.controls.clone();
        controls.motion = Motion::Push {
            direction: -Vec3::y(),
            point: rig.reference,
            from: tied.state.pose().place(&rig.reference, &rig.reference),
            distance,
            guided: false,
        };
        controls
    };
    let (from, to) = (push_to(0.0), push_to(0.1 * f64::from(tenths)));
    let ramp = Ramp {
        first: 0.05 / (0.1 * f64::from(tenths)),
        largest: 0.05 / (0.1 * f64::from(tenths)),
        continued: false,
        ..Ramp::EVEN
    };
    let mut solver = Solver::new(&rig);
    let arrival = solver.ramp(&mut tied.state.clone(), &from, &to, ramp, None);
    assert_eq!(arrival, Arrival::Arrived(1.0));
    bencher.with_inputs(|| tied.state.clone()).bench_local_refs(|state| solver.ramp(state, &from, &to, ramp, None));
}

/// Two constructs compared on the default case, one after the other, without figures; files are
/// read each time.
#[divan::bench]
fn compare_without_figures() -> Vec<(Hold, Push)> {
    ["one-by-one", "two-by-two-crossed"]
        .map(|name| {
            let case = Case::open("quarter").expect("the default case is built in");
            let construct = ConstructFile::open(name)
                .and_then(|file| file.fit(&case))
                .expect("shipped constructs fit the default case");
            tie_and_push(&case, &construct, 40)
        })
        .into()
}

/// All 24 orders of four ties from the displaced pose, on one core: two by two crossed, its bridge
/// tied one lateral anchor after the other. Some are not held, and their way out is followed.
#[divan::bench(sample_count = 20)]
fn all_orders_of_four_ties(bencher: Bencher<'_, '_>) {
    let (case, construct) = scene("two-by-two-crossed", 400);
    let construct = construct.split(Split::Anchor);
    let chosen = Chosen::all(&construct, 1);
    assert_eq!(chosen.orders.len(), 24);
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a pool of one thread");
    let plan = OrdersPlan::default();
    bencher.bench_local(|| -> Orders { one.install(|| orders(&case, &construct, &chosen, &plan, &())) });
}

/// The figures of that comparison as SVG, drawn one after the other.
#[divan::bench]
fn figures(bencher: Bencher<'_, '_>) {
    let scenes = ["one-by-one", "two-by-two-crossed"].map(|name| {
        let (case, construct) = scene(name, 400);
        let found = tie_and_push(&case, &construct, 40);
        (case, construct, found)
    });
    bencher.bench_local(|| -> Vec<Figure> {
        let pushes: Vec<&Push> = scenes.iter().map(|(_, _, (_, push))| push).collect();
        let mut figures = vec![resistance(&pushes, &Theme::single()), load_sharing(&pushes, &Theme::double())];
        figures.extend(scenes.iter().filter_map(|(case, construct, (hold, _))| {
            let tied = hold.tied.as_ref()?;
            Some(draw_construct(case, construct, tied, &Theme::double()))
        }));
        figures
    });
}

/// Forty evaluations of a search for better places, eight free variables, on one core.
#[divan::bench(sample_count = 20)]
fn place_forty_evaluations(bencher: Bencher<'_, '_>) {
    let subject = Subject::open("quarter", &["two-by-two-crossed".to_owned()]).expect("built in");
    let free = variables(&subject).expect("the usual ones");
    assert_eq!(free.len(), 8);
    let effort = Effort { cells: Some(220), steps: 5 };
    let question = Question::new(&subject, &free, &[Objective::Inferior], Start::Reduced, effort);
    let bounds = question.bounds();
    let given = question.given();
    let plan = Plan { starts: 1, particles: 0, evaluations: 40, ..Plan::default() };
    bencher.bench_local(|| {
        let judge = |at: &[f64]| question.judged(&question.look(Some(at)), 0);
        seek(&bounds, Some(&given), &judge, &plan, &())
    });
}

/// A study of scatter with the built-in spread: subject, design and draws.
fn doubt(constructs: &[&str]) -> (Subject, Design, Draws) {
    let names: Vec<String> = constructs.iter().map(|c| (*c).to_owned()).collect();
    let mut subject = Subject::open("quarter", &names).expect("all built in");
    subject.set_cells(220);
    let design = Design::new(&default_spread(), &subject, true).expect("fits the built-in case");
    let draws = Draws::new(Method::LatinHypercube, 1, 10_000, design.dimensions.len());
    (subject, design, draws)
}

/// Draws a sample and reads case and constructs again with it, for eight samples in a row.
fn drawn(subject: &mut Subject, design: &Design, draws: &Draws, samples: u64) -> usize {
    let mut fitted = 0;
    let mut point = vec![0.0; design.dimensions.len()];
    for sample in 0..samples {
        draws.point(sample, &mut point);
        design.draw(&mut point);
        design.apply(&point, subject);
        fitted += subject.read().constructs.iter().filter(|c| c.is_ok()).count();
    }
    fitted
}

/// What surrounds the solver in a study of scatter: eight samples of two constructs drawn and read.
#[divan::bench]
fn scatter_eight_samples_read_only(bencher: Bencher<'_, '_>) {
    let (mut subject, design, draws) = doubt(&["one-by-one", "two-by-two-crossed"]);
    bencher.bench_local(|| drawn(&mut subject, &design, &draws, 8));
}

/// Eight samples of a study of scatter, two constructs each: drawn, read, tied and pushed 2 mm.
#[divan::bench]
fn scatter_eight_samples(bencher: Bencher<'_, '_>) {
    let (mut subject, design, draws) = doubt(&["one-by-one", "two-by-two-crossed"]);
    let probe = Probe { from: Start::Reduced, push: PushPlan { steps: 10, ..PushPlan::default() }, under: 50.0 };
    bencher.bench_local(|| -> Vec<Row> {
        let mut rows = Vec::new();
        let mut point = vec![0.0; design.dimensions.len()];
        for sample in 0..8 {
            draws.point(sample, &mut point);
            design.draw(&mut point);
            design.apply(&point, &mut subject);
            let reading = subject.read();
            let case = reading.case.expect("the built-in spread makes fragments");
            for construct in reading.constructs.iter().flatten() {
                let layout = Layout::new(&case, construct, false, &probe);
                rows.push(run(&case, construct, &layout, &probe, &()).unwrap());
            }
        }
        rows
    });
}
