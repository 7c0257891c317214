//! The answer first: what was asked, what the model prefers, how sure that is, what it costs, and the one caveat
//! that matters most for this question. Every command gives one, before any table.

use super::case::taken;
use super::scatter::{Judged, band, judged};
use super::summary::{CaseSummary, ConstructSummary};
use super::tie::TieNames;
use crate::model::{Case, Construct, Tag, Taken, Terms};
use crate::quantities::{View, quantity};
use crate::show::prose::sentences;
use crate::show::terminal::{Page, WIDTH};
use crate::show::words::{not_held_short, num, of, pushed, short};
use crate::study::result::{
    Budget, Compared, CyclePoint, Drilling, End, Hold, Joint, JointPose, Losses, Lost, OrderRun, OrderSweep, Orders,
    Paired, Phase, Place, Placement, Scatter, Settling, Slide, Start, Sweep, Swept,
};
use crate::verify::Verification;
use crate::verify::published::{self, DOUBLE_OVER_SINGLE, Predictions};
use minijinja::{Value, context};
use unicode_width::UnicodeWidthStr;

/// Columns of the name of a line.
const NAME: usize = 9;
/// Columns of a name that stands beside others.
const BESIDE: usize = 21;
/// By how much more another construct bears at failure before that is told, as a ratio: our choice, assumed.
const TURNED: f64 = 1.1;

/// Numbers of `[joint]`.
const HEAD_AND_CARTILAGE: usize = 4;
/// Share of its thickness beyond which cartilage is no linear foundation: our choice, assumed.
const STRAINED: f64 = 0.3;

/// At most five lines of 80 columns.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict(Vec<String>);

impl Verdict {
    /// What a template says of a result: each of its lines a name, a bar and the words; behind two bars shorter ones,
    /// where those do not fit.
    fn of(template: &str, data: &Value) -> Self {
        let line = |line: String| {
            let (name, words) = line.split_once(" | ").unwrap_or(("", &line));
            let mut ways: Vec<String> = words.split(" || ").map(|words| format!("{name:<NAME$}{words}")).collect();
            let fitting = ways.iter().position(|way| way.width() <= WIDTH).unwrap_or(ways.len() - 1);
            short(&ways.swap_remove(fitting).replace('\n', " "), WIDTH)
        };
        Self(sentences(template, data).into_iter().map(line).collect())
    }

    /// Its lines.
    pub fn lines(&self) -> &[String] {
        &self.0
    }

    /// Its lines, each as its name and its words.
    pub fn parts(&self) -> Vec<[String; 2]> {
        self.0.iter().map(|line| [line[..NAME].trim_end().to_owned(), line[NAME..].to_owned()]).collect()
    }

    /// Constructs compared by the load that they bear at 1 mm, over draws of the inputs where some were made.
    pub fn compared(case: &Case, constructs: &[Construct], results: &[Compared], draws: Option<&Scatter>) -> Self {
        let views: Vec<View<'_>> = results.iter().zip(constructs).map(|(r, c)| View::of(case, c, r)).collect();
        let value = |k: usize, key: &str| (quantity(key).of)(&views[k]);
        let name = |k: usize| results[k].hold.construct.as_str();
        let load = |k: usize| value(k, "load-1mm");
        let mut ranked: Vec<usize> = (0..results.len()).filter(|k| load(*k).is_some()).collect();
        ranked.sort_by(|a, b| load(*b).unwrap_or(0.0).total_cmp(&load(*a).unwrap_or(0.0)));
        let over = |first: usize, other: usize| draws.and_then(|d| over(d, name(first), name(other)));
        // Alike are those that the best does not surpass whatever the inputs are.
        let (alike, less): (Vec<usize>, Vec<usize>) =
            ranked.iter().partition(|k| **k == ranked[0] || !over(ranked[0], **k).is_some_and(|o| o.surpasses));
        let one = |k: &usize| {
            let get = |key| value(*k, key);
            context! {
                name => name(*k), load => load(*k), two => get("load-2mm"), fails => get("failure-load"),
                tied => get("compression"), settled => get("settled-compression"),
                step => get("step"), tilt => get("tilt"),
            }
        };
        let bears = |k: &usize| load(*k).map(|load| format!("{} {}", short(name(*k), BESIDE), of(load, "load-1mm")));
        let presses =
            |k: usize| Some(format!("{} {}", short(name(k), BESIDE), of(value(k, "compression")?, "compression")));
        let all = |list: &[usize]| list.iter().filter_map(bears).collect::<Vec<_>>();
        let beside = (if alike.len() > 1 { &alike[1..] } else { &less[..] }).first();
        let best = |bridged: bool| {
            let sutured = |k: &&usize| constructs[**k].screws.is_empty();
            let own = ranked.iter().filter(sutured).find(|k| (Terms::of(&constructs[**k]).limbs > 0) == bridged);
            own.and_then(|k| load(*k))
        };
        let fails = |k: &usize| value(*k, "failure-load");
        let turned = ranked.first().and_then(|first| {
            let most = ranked.iter().max_by(|a, b| fails(a).unwrap_or(0.0).total_cmp(&fails(b).unwrap_or(0.0)))?;
            (fails(most)? > TURNED * fails(first)?).then(|| [one(most), one(first)])
        });
        let lost = |is: &dyn Fn(&Hold) -> bool| {
            results.iter().find(|r| is(&r.hold)).map(|r| {
                context! {
                    name => r.hold.construct, how => not_held_short(&r.hold.outcome),
                }
            })
        };
        let from = results.first().map_or(Start::Reduced, |r| r.hold.from);
        let push = results.iter().find_map(|r| r.push.as_ref());
        let data = context! {
            case => case.name,
            from,
            count => results.len(),
            pushed => push.map(|p| pushed(&p.direction)),
            first => (0..results.len()).map(|k| one(&k)).next(),
            alike => all(&alike),
            less => all(&less),
            presses => (0..results.len()).filter_map(presses).collect::<Vec<_>>(),
            best => ranked.first().map(one),
            beside => beside.map(one),
            over => beside.and_then(|k| over(ranked[0], *k)).map(|o| context! { low => o.low, high => o.high }),
            draws => draws.map(|d| d.done),
            alone => draws.and_then(|d| band(d, name(*ranked.first()?), "load-1mm")),
            doubtful => lost(&|hold| hold.outcome.is_uncertified()),
            lost => lost(&|hold| !hold.outcome.is_held()),
            bench => best(true).zip(best(false)).map(|(double, single)| [DOUBLE_OVER_SINGLE, double / single]),
            turned,
            unequal => super::repair::unequal(constructs),
            taken => taken(&case.defaults, constructs.iter().flat_map(|c| &c.defaults), from),
        };
        Self::of(include_str!("said/verdict/compare.txt"), &data)
    }

    /// The best order of tying beside the construct's own and the worst.
    pub fn tied(case: &str, construct: &Construct, orders: &Orders, sweeps: &[OrderSweep]) -> Self {
        let names = TieNames::of(construct);
        let left = |run: &OrderRun| {
            let lies = run.hold.tied.as_ref().map(|t| t.measures).unwrap_or_default();
            let (order, letters) = (names.listed(&run.order), names.order(run));
            context! {
                order => if order.len() > ROOM { letters } else { order }, own => run.own, rank => run.rank,
                step => lies.step.value, tilt => lies.tilt, shift => run.residual_shift, jumps => run.hold.jumps.len(),
            }
        };
        let steady = |best: &OrderRun| {
            let points: Vec<&Orders> =
                sweeps.iter().flat_map(|s| &s.points).filter_map(|p| p.orders.as_ref()).collect();
            let same = |o: &&&Orders| o.best().is_some_and(|b| b.order == best.order);
            (!points.is_empty()).then(|| [points.iter().filter(same).count(), points.len()])
        };
        let count = |is: fn(&OrderRun) -> bool| orders.runs.iter().filter(|r| is(r)).count();
        let data = context! {
            case, construct => orders.construct,
            from => orders.from,
            before => orders.before.step.value,
            all => orders.runs.len(),
            sampled => orders.sampled.as_ref().map(|s| (s.of, s.seed)),
            fails => count(|r| !r.hold.outcome.is_held() && !r.hold.outcome.is_uncertified()),
            doubtful => count(|r| r.hold.outcome.is_uncertified()),
            equal => count(|r| r.rank == Some(1)),
            band => orders.band,
            best => orders.best().map(left),
            own => orders.own().map(left),
            worst => orders.worst().map(left),
            steady => orders.best().and_then(steady),
        };
        Self::of(include_str!("said/verdict/tie.txt"), &data)
    }

    /// What settling leaves.
    pub fn settled(case: &str, construct: &str, hold: &Hold, settling: Option<&Settling>, taken: &[&Taken]) -> Self {
        let lies = |k: Option<&CyclePoint>| {
            k.map(|p| {
                context! {
                    cycle => p.cycle, compression => p.compression, rest => p.rest, peak => p.peak,
                    step => p.measures.step.value, tilt => p.measures.tilt,
                }
            })
        };
        let load = ["settling.low", "settling.high", "settling.cycles"];
        let is_rate = |t: &&&Taken| t.path.starts_with("settling.") || t.path.ends_with(".set");
        let rates = || taken.iter().filter(is_rate).filter(|t| !load.contains(&&*t.path));
        let data = context! {
            case, construct,
            settling => settling.map(|s| context! { low => s.low, high => s.high }),
            how => not_held_short(settling.map_or(&hold.outcome, |s| &s.outcome)),
            first => lies(settling.and_then(|s| s.points.first())),
            last => lies(settling.and_then(|s| s.points.last())),
            shakes_down => settling.and_then(Settling::shakes_down),
            most => settling.and_then(super::settle::most).map(|l| context! {
                part => l.part, name => l.name, before => l.before, lost => l.before - l.after,
            }),
            rates => [rates().filter(|t| t.tag == Tag::Seen).count(), rates().count()],
        };
        Self::of(include_str!("said/verdict/settle.txt"), &data)
    }

    /// What loads of rehabilitation do; over draws of the inputs where some were made. Whether screws hold it.
    pub fn budgeted(found: &Budget, screws: bool) -> Self {
        let allowed = &found.allowed;
        let judged = |p: &Phase| p.within.filter(|w| w.of > 0);
        // Nine in ten draws, or the inputs as they stand.
        let keeps = |p: &&Phase| match judged(p) {
            Some(w) => 10 * w.both >= 9 * w.of,
            None => p.keeps(allowed)[..2] == [true; 2],
        };
        let so_far = found.phases.iter().take_while(keeps).count();
        let one = |p: &Phase| {
            let point = p.points.last();
            context! {
                name => p.name, high => p.high, left => p.left,
                compression => point.map(|q| q.compression), step => point.map(|q| q.measures.step.value),
            }
        };
        let within = found.phases.iter().filter_map(judged);
        let shares: Vec<String> = within.clone().map(|w| num(100.0 * w.both as f64 / w.of as f64, 0)).collect();
        let of = within.map(|w| w.of).next().unwrap_or(0);
        let held = found.phases.iter().rfind(|p| p.outcome.is_held());
        let moving = found.phases.iter().find(|p| p.motion().is_some_and(|m| m > allowed.motion));
        let data = context! {
            case => found.case, construct => found.construct, allowed,
            how => not_held_short(&found.outcome), phases => found.phases.len(),
            of_draws => if shares.is_empty() { "" } else { " in 9 of 10 draws" },
            good => so_far.checked_sub(1).map(|k| one(&found.phases[k])), bad => found.phases.get(so_far).map(one),
            judged => of, dropped => if of < found.done { format!("; {} not judged", found.done - of) } else { String::new() },
            shares, last => held.map(one), tied => found.tied.as_ref().map(|t| t.compression),
            moving => moving.map(|p| &p.name), screws,
            assumed => found.phases.iter().any(|p| p.tag == Tag::Assumed),
        };
        Self::of(include_str!("said/verdict/budget.txt"), &data)
    }

    /// What a repair hangs on; where parts were lost together, what they leave.
    pub fn lost(found: &Losses) -> Self {
        let one = |l: &Lost| {
            let short = Lost { parts: l.parts[..l.parts.len().min(1)].to_vec(), ..l.clone() };
            context! {
                parts => super::lose::lost(l), first => super::lose::lost(&short), load => l.after.bears(),
                step => l.after.measures.map(|m| m.step.value), before => l.before.load,
                how => not_held_short(&l.after.outcome).filter(|_| l.after.load.is_none()),
            }
        };
        let rescue = found.rescues.first().map(|r| {
            context! { name => r.construct, load => r.bearing.bears(), hole => r.from_hole, new => r.tied.len() }
        });
        let asked = found.losses.iter().find(|l| l.together);
        let single = || found.losses.iter().filter(|l| !l.together);
        let data = context! {
            case => found.case, construct => found.construct, pushed => pushed(&found.direction),
            whole => found.whole.bears(), step => found.whole.measures.map(|m| m.step.value),
            how => not_held_short(&found.whole.outcome), count => single().count(),
            asked => asked.map(one), worst => asked.or(single().next()).map(one),
            least => single().next_back().filter(|_| single().count() > 1).map(one),
            rescue, tried => found.rescues.len(),
        };
        Self::of(include_str!("said/verdict/lose.txt"), &data)
    }

    /// What the joint has of a reduction.
    pub fn joint(found: &Joint, taken: &[&Taken]) -> Self {
        let ratio = |state| Some(found.state(state)?.slide(&found.map.direction)?.ratio);
        let failed = [&found.tied, &found.settled].into_iter().flatten().find(|end| !end.is_held());
        let ours = || taken.iter().filter(|t| t.path.starts_with("joint."));
        let strain = found.states.iter().flat_map(|s| &s.slides).map(|d| d.strain).fold(0.0, f64::max);
        let reduced = ratio(JointPose::Settled).or(ratio(JointPose::Tied));
        let last = found.state(JointPose::Settled).or(found.state(JointPose::Tied));
        let weakest = last.and_then(|s| s.slides.iter().min_by(|a, b| a.ratio.total_cmp(&b.ratio)));
        let weakest = weakest.filter(|d| reduced.is_some_and(|r| d.ratio < (1.0 - found.map.fallen) * r));
        let borne = found.states.iter().flat_map(|s| &s.slides).all(Slide::is_borne);
        let data = context! {
            case => found.case, construct => found.construct, direction => found.map.direction,
            how => failed.and_then(not_held_short),
            intact => ratio(JointPose::Intact), missing => ratio(JointPose::Missing),
            displaced => ratio(JointPose::Displaced), reduced,
            state => JointPose::Settled,
            holds => found.certificate.holds(), borne,
            weakest => weakest.map(|d| context! { direction => d.direction, ratio => d.ratio }),
            assumed => [ours().filter(|t| t.tag == Tag::Assumed).count(), HEAD_AND_CARTILAGE],
            recessed => found.map.recessed.first(), proud => found.map.proud.first(),
            strain => (strain > STRAINED).then_some(strain),
            pressures => last.map(|s| s.state).and_then(|state| {
                let of = |state| Some(found.state(state)?.slide(&found.map.direction)?.pressure);
                Some([of(state)?, of(JointPose::Intact)?])
            }),
            more => reduced.zip(ratio(JointPose::Intact)).is_some_and(|(now, intact)| now > intact),
        };
        Self::of(include_str!("said/verdict/joint.txt"), &data)
    }

    /// How far uncertain inputs move the answers.
    pub fn scattered(found: &Scatter) -> Self {
        let last = found.constructs.last();
        let pair = |key: &str| found.pairs.iter().rfind(|p| p.quantity.key == key);
        let load = pair("load-1mm");
        let one = |k: usize| {
            let c = found.constructs.get(k)?;
            Some(context! {
                name => c.construct, load => band(found, &c.construct, "load-1mm"),
                step => band(found, &c.construct, "step"),
                fails => c.ends.lost_in_push + c.ends.not_held,
            })
        };
        let ranks = || found.constructs.iter().flat_map(|c| &c.rankings).filter(|r| r.quantity.key == "load-1mm");
        let data = context! {
            found => context! { case => found.case, done => found.done, samples => found.samples, from => found.from },
            all => (0..found.constructs.len()).filter_map(one).collect::<Vec<_>>(),
            pair => load.and_then(|p| over(found, &p.second, &p.first)).map(|o| context! {
                low => o.low, high => o.high, more => o.share, surpasses => o.surpasses, less => o.share < 0.5 && o.differs,
            }),
            first => load.map(|p| &p.first), last => last.map(|c| &c.construct),
            moved => ranks().filter_map(|r| r.ranks.first()).map(|r| &r.path).next(),
            assumed => [found.inputs.iter().filter(|i| i.line.tag == Tag::Assumed).count(), found.inputs.len()],
        };
        Self::of(include_str!("said/verdict/scatter.txt"), &data)
    }

    /// How an answer goes with one or two inputs.
    pub fn swept(found: &Sweep) -> Self {
        let shown = found.quantities.first();
        let range = |c: &Swept| {
            let values = || c.points.iter().filter_map(|p| *p.values.first()?);
            Some([values().reduce(f64::min)?, values().reduce(f64::max)?])
        };
        let all = found.constructs.iter().map(|c| {
            let fails = c.points.iter().filter(|p| p.end != End::Held).count();
            let said = |v: f64| shown.map(|q| of(v, &q.key)).unwrap_or_default();
            let goes =
                range(c).map_or_else(|| "at no point".to_owned(), |[a, b]| format!("{} to {}", said(a), said(b)));
            context! { name => c.construct, goes, fails, of => c.points.len() }
        });
        let more = found.constructs.get(..2).map(|pair| {
            let points = pair[0].points.iter().zip(&pair[1].points);
            let both = points.filter_map(|(a, b)| Some(((*a.values.first()?)?, (*b.values.first()?)?)));
            let wins: Vec<bool> = both.map(|(a, b)| b > a).collect();
            [wins.iter().filter(|w| **w).count(), wins.len()]
        });
        let axes = found.axes.iter().map(|a| {
            let end = |v: Option<&f64>| v.map_or_else(String::new, |v| super::sweep::at(a, *v).text);
            format!("{} {} to {} {}", a.path, end(a.values.first()), end(a.values.last()), a.unit).trim_end().to_owned()
        });
        let data = context! {
            question => found.question, case => found.case, complete => found.complete,
            axes => axes.collect::<Vec<_>>(),
            all => all.collect::<Vec<_>>(),
            more, shown => shown.map(|q| quantity(&q.key).short),
        };
        Self::of(include_str!("said/verdict/sweep.txt"), &data)
    }

    /// Whether a search found places that placement error does not undo.
    pub fn placed(found: &Place) -> Self {
        let aim = &found.aims[0];
        let said = |v: Option<f64>| v.map(|v| super::place::of_aim(aim, v));
        let gain = found.gain.as_ref();
        let tied = |p: &Placement| {
            p.hold.as_ref().and_then(|h| h.tied.as_ref()).map(|t| [t.measures.step.value, t.measures.tilt])
        };
        let clear = gain.and_then(|g| g.better_interval).map(|[low, high]| [low > 0.5, high < 0.5]);
        let worth = |v: Option<f64>| v.map(|v| if aim.more_is_better { v } else { -v });
        let fragile = gain.is_some_and(|g| worth(g.found) < worth(g.given));
        let data = context! {
            construct => found.construct, label => aim.label, fragile,
            fault => super::place::fault(found),
            exact => [said(found.given.values[0]), said(found.found.values[0])],
            reached => gain.map(|g| [said(g.given), said(g.found)]),
            gain => gain.map(|g| context! { draws => g.pairs, better => g.better.map(|b| b.value) }),
            clear,
            lies => [tied(&found.given), tied(&found.found)],
        };
        Self::of(include_str!("said/verdict/place.txt"), &data)
    }

    /// Whether holes can be reached, and whether the bone allows them.
    pub fn drilled(case: &str, found: &Drilling) -> Self {
        let screws = found.holes.iter().filter(|h| h.screw).count();
        let limit = |key: &str| found.limit(key).map(|l| l.limit);
        let thinnest = found.thinnest().map(|b| {
            context! {
                bone => b.bone, first => b.first, second => b.second, limit => limit("bridge"),
            }
        });
        let data = context! {
            case, construct => found.construct,
            all => found.holes.len(), reached => found.reached(),
            what => if screws == 0 { "anchor" } else if screws == found.holes.len() { "screw" } else { "hole" },
            thinnest, count => found.violations.len(),
            worst => found.violations.first().map(|v| context! {
                subject => v.subject, said => super::drill::clause(v),
            }),
            leaving => found.holes.iter().filter(|h| h.leaves.is_some()).count(),
            remedy => super::drill::remedy(found),
            assumed => found.portals.iter().any(|p| p.tag == Tag::Assumed),
        };
        Self::of(include_str!("said/verdict/drill.txt"), &data)
    }

    /// What was understood of files.
    pub fn checked(case: &CaseSummary, constructs: &[ConstructSummary]) -> Self {
        let all = constructs.iter().flat_map(|c| &c.warnings);
        let warnings: Vec<&String> = case.warnings.iter().chain(all).map(|w| &w.message).collect();
        let data = context! {
            case, constructs => constructs.iter().map(|c| &c.name).collect::<Vec<_>>(),
            brief => warnings.first().and_then(|w| w.split([',', '(']).next()).map(str::trim), warnings,
            deep => case.defaults.iter().any(|t| t.path == "fragment.depth"),
            taken => taken(&case.defaults, constructs.iter().flat_map(|c| &c.defaults), Start::Displaced),
        };
        Self::of(include_str!("said/verdict/check.txt"), &data)
    }

    /// Whether this build computes what it should.
    pub fn verified(found: &Verification) -> Self {
        let ratio = |off: Option<f64>, allowed: f64| off.filter(|_| allowed > 0.0).map(|off| off / allowed);
        let checks = found.checks.iter().filter_map(|c| ratio(c.error, c.tolerance));
        let worst = checks.chain(found.series.iter().filter_map(|s| ratio(s.error, s.tolerance))).reduce(f64::max);
        let lost = found.lost.first().map(|l| context! { subject => l.subject, how => not_held_short(&l.outcome) });
        let data = context! {
            checks => found.checks.len(), series => found.series.len(), failures => found.failures(), worst, lost,
        };
        Self::of(include_str!("said/verdict/verify.txt"), &data)
    }

    /// How predictions stand beside publications.
    pub fn published(found: &Predictions) -> Self {
        use published::Verdict::{Inside, Outside, Overlaps};
        let count = |v| found.comparisons.iter().filter(|c| c.verdict == Some(v)).count();
        let studies = found.comparisons.chunk_by(|a, b| a.study == b.study).count();
        let ratio =
            found.comparisons.iter().find(|c| c.published.as_ref().is_some_and(|p| p.mean == DOUBLE_OVER_SINGLE));
        let band = ratio.and_then(|c| c.predicted).map(|b| [b.low, b.high]);
        let [inside, overlaps, outside] = [Inside, Overlaps, Outside].map(count);
        let yes = found.facts.iter().filter(|f| f.at_defaults == Some(true)).count();
        let data = context! {
            inside, overlaps, outside, studies, draws => found.draws, bench => DOUBLE_OVER_SINGLE, band,
            yes, rules => found.facts.len(),
        };
        Self::of(include_str!("said/verdict/published.txt"), &data)
    }
}

impl Page {
    /// The verdict, at the head of a page.
    pub fn verdict(&mut self, verdict: &Verdict) {
        verdict.lines().iter().for_each(|line| self.marked(&line[..NAME], &line[NAME..]));
    }
}

/// Columns that an order has in words; a longer one stands in letters.
const ROOM: usize = 40;

/// By how much one construct bears more than another at 1 mm on the same draws.
struct Over {
    low: f64,
    high: f64,
    share: f64,
    differs: bool,
    surpasses: bool,
}

fn over(draws: &Scatter, first: &str, other: &str) -> Option<Over> {
    let between = |p: &&Paired, a: &str, b: &str| p.quantity.key == "load-1mm" && p.second == a && p.first == b;
    let find = |a: &str, b: &str| draws.pairs.iter().find(|p| between(p, a, b));
    let (pair, turned) = find(first, other).map(|p| (p, false)).or_else(|| find(other, first).map(|p| (p, true)))?;
    let (d, share) = (pair.difference.as_ref()?, pair.superiority?.value);
    let [low, high, share] = match turned {
        false => [d.low.value, d.high.value, share],
        true => [-d.high.value, -d.low.value, 1.0 - share],
    };
    let differs = matches!(judged(pair), Some(Judged::Likely | Judged::Sure));
    Some(Over { low, high, share, differs, surpasses: differs && share > 0.5 })
}
