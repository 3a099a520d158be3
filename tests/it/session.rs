//! Public evenings through the public door.

use skyworthy::plan::session::Ask;
use skyworthy::plan::session::session;
use skyworthy::workshop;

#[test]
fn timing_probe() {
    let mut workshop = workshop::example();
    let ask = Ask {
        on: "2027-02-12".parse().unwrap(),
        from: "18:30".parse().unwrap(),
        until: "22:30".parse().unwrap(),
        visitors: 120,
        slot_minutes: 10,
        first: None,
        telescopes: Vec::new(),
        wants: Vec::new(),
    };
    let base = workshop.telescopes.clone();
    while workshop.telescopes.len() < 10 {
        let n = workshop.telescopes.len();
        let mut t = base[n % base.len()].clone();
        t.name = format!("T{n}");
        workshop.telescopes.push(t);
    }
    let start = std::time::Instant::now();
    let s = session(&workshop, &ask).unwrap();
    println!(
        "{:?} slots {} total {:?}",
        start.elapsed(),
        s.slots.len(),
        s.total
    );
    for st in &s.telescopes {
        println!(
            "{} {:?} {:?}",
            st.name,
            st.summary.as_ref().map(|s| s.class),
            st.queue
        );
        for t in &st.turns {
            println!(
                "   {} {} {} h={:?} {} {:.0}x fb {:?}",
                t.from,
                t.until,
                t.shown.subject.name(),
                t.shown.eyepiece_height_m,
                t.shown.look_for.caption.name,
                t.shown.view.magnification,
                t.fallback
                    .as_ref()
                    .map(|f| (f.shown.subject.name().to_string(), f.refuge))
            );
        }
    }
    println!("{:#?} {:?}", s.infeasible, s.queue);
}
