use super::*;
use crate::calculators::sheet;

fn run(i: &DrainIn) -> DrainOut {
    sheet::solve::<Drain>(i, &mut Working::none()).unwrap_or_else(|e| panic!("{e:?}"))
}

#[test]
fn show() {
    for a in [Arrangement::Draw, Arrangement::Wall, Arrangement::Rim, Arrangement::Flooded] {
        for q in [2000.0, 5000.0] {
            let i = DrainIn { arrangement: a, flow: FLOW.of(l_h(q)), ..DrainIn::default() };
            let o = run(&i);
            let r = Drain::report(&i, &o, Words::default());
            println!("{a:?} {q}\n {}", r.verdict);
            for x in &r.repairs {
                println!("  R {} | {} | {:?}", x.title, x.effect, x.also);
            }
            for x in &r.cautions {
                println!("  C {}", x.text);
            }
            for x in &r.notes {
                println!("  N {x}");
            }
            for x in &r.tables {
                println!("  T {}", x.title);
                for r in &x.rows {
                    println!("     {r:?}");
                }
            }
            let mut outs = vec![];
            Drain::outputs(&o, &mut outs);
            for x in outs {
                println!("  O {} {}", x.label, x.show(System::Metric));
            }
        }
    }
}
