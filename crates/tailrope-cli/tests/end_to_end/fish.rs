use crate::run::tailrope;

#[test]
fn lists_all_and_those_of_a_season() {
    let all = tailrope("fish list --format json").exits(0).json("tailrope.fish/1");
    assert_eq!(all["fish"].as_array().unwrap().len(), 33);
    let october =
        tailrope("fish list --region gulf-nw --month 10 --format json").exits(0).json("tailrope.fish/1");
    let ids: Vec<&str> =
        october["fish"].as_array().unwrap().iter().map(|f| f["id"].as_str().unwrap()).collect();
    assert!(ids.contains(&"bull") && !ids.contains(&"copper"), "{ids:?}");
    assert!(october["fish"][0]["likely"]["length_m"].as_f64().unwrap() > 0.5);
    let january =
        tailrope("fish list --region gulf-nw --month 1 --format json").exits(0).json("tailrope.fish/1");
    assert_ne!(october["fish"], january["fish"]);
    tailrope("fish list")
        .exits(0)
        .says(&["great_hammerhead", "cut first", "says nothing about the law"])
        .no_wider_than(80);
}

#[test]
fn shows_one_by_any_of_its_names() {
    let of = |name: &str| tailrope("fish show --format json").arg(name).exits(0).json("tailrope.fish/1");
    assert_eq!(of("Carcharhinus leucas"), of("bull"));
    assert_eq!(of("zambezi")["id"], "bull");
    tailrope("fish show great hammerhead")
        .exits(0)
        .says(&["Sphyrna mokarran", "breathes only while it moves", "cut at first touch", "recalled"])
        .no_wider_than(80);
    tailrope("fish show unknown").exits(0).says(&["treated as protected"]);
}

#[test]
fn sizes_convert_there_and_back_and_weight_has_a_heavy_end() {
    let of = |arg: &str, value: &str| {
        tailrope("fish size bull --format json").arg(arg).arg(value).exits(0).json("tailrope.fish/1")
    };
    let total = of("--length", "2.4m total");
    let fork = total["lengths"].as_array().unwrap().iter().find(|l| l["kind"] == "fork").unwrap().clone();
    let back = of("--length", &format!("{}m fork", fork["length_m"]));
    let again = back["lengths"].as_array().unwrap().iter().find(|l| l["kind"] == "total").unwrap().clone();
    assert!((again["length_m"].as_f64().unwrap() - 2.4).abs() < 1e-6, "{again}");
    let m = &total["mass"];
    assert!(m["heavy_kg"].as_f64() > m["central_kg"].as_f64());
    let by_mass = of("--mass", &format!("{}kg", m["central_kg"]));
    assert!((by_mass["lengths"][0]["length_m"].as_f64().unwrap() - 2.4).abs() < 1e-6);
    // 2.4 m and 1.2 m of girth: 1.2 x 1.2 x 2.4 m3 of box, of which a body is a part; a thicker fish is heavier.
    let girth = |g: &str| {
        let j =
            tailrope("fish size bull --format json --girth").arg(g).arg("--length").arg("2.1m fork").exits(0);
        j.json("tailrope.fish/1")["mass"]["central_kg"].as_f64().unwrap()
    };
    assert!((girth("1.3m") / girth("1.2m") - 1.3 * 1.3 / 1.44).abs() < 1e-9);
}

#[test]
fn refuses_absurd_sizes_and_unknown_names() {
    for (args, last, parts) in [
        ("fish size bull --length", "40m total", ["length of the fish is 40 m", "0.1 m to 8 m"]),
        ("fish size bull --length", "2.4m", ["does not say how", "fork"]),
        ("fish size bull --mass", "300lbf", ["--mass", "that is a force"]),
        ("fish size --length 2m", "bul", ["--length", "does not say how"]),
        ("fish show", "blacktp", ["no species", "blacktip"]),
        ("fish list --region tx --month", "10", ["--region", "gulf-nw"]),
        ("fish list --region gulf-nw --month", "13", ["--month", "13"]),
        ("fish size", "bull", ["--length", "required"]),
    ] {
        tailrope(args).arg(last).exits(3).complains(&parts);
    }
}
