"""Every example that the rules themselves name: what each must catch, and what it must leave alone.

The keys are the words of the columns `catches` and `not_caught` of the rules; a test holds them against the file,
so that no example can be written there without being tried here.
"""

from tests.reckoning.rules.scenes import Scene, at

COLD = {"dry_heat": False, "acid": "none"}
OUT = {"place": "outdoors"}
IN = {"place": "indoors"}

OXYGEN_GIVERS = ("Fe2O3", "Fe3O4", "CuO", "MnO2", "Co3O4", "NiO", "Cr2O3", "V2O5", "MoO3", "Bi2O3", "SnO2", "BaSO4")
CHLORIDES = ("CoCl2", "FeCl3", "AlCl3", "ZrOCl2*8H2O", "NH4Cl", "NaCl", "KCl", "CaCl2")
THERMITE = (
    "Al, Mg, Zn, Si or Ti powder with Fe2O3, Fe3O4, CuO, MnO2, Co3O4, NiO, Cr2O3, V2O5, MoO3, Bi2O3, SnO2 or BaSO4"
)

CATCHES: dict[str, dict[str, list[Scene]]] = {
    "waste-acid": {
        "acid with sulfide, fluoride, bleach or cyanide in one container": [
            at("waste", "hydrochloric acid", each) for each in ("ultramarine", "ZnS", "NaF", "bleach", "K4Fe(CN)6")
        ]
        + [at("waste", "HNO3", "CaF2")],
    },
    "waste-bleach": {"bleach with an ammonium salt in one container": [at("waste", "bleach", "NH4Cl")]},
    "waste-nitrate-fuel": {
        "nitrate or permanganate with organics, solvent, oil, paper or sulfur in one container": [
            at("waste", first, each)
            for first in ("KNO3", "potassium permanganate")
            for each in ("sugar", "acetone", "linseed oil", "paper", "S")
        ]
    },
    "refused-elements": {
        "BeO": [at("plan", "BeO"), at("weigh", "Al2O3", "BeO"), at("plan", "target=BeAl2O4")],
        "Tl2O3": [at("mix", "Tl2O3")],
        "OsO4": [at("plan", "OsO4"), at("load", "Os")],
        "ThO2 or UO2 in a second line": [at("plan", "SiO2", "ThO2"), at("fire", "SiO2", "UO2"), at("plan", "PaO2")],
        "beryllia or yellowcake by its name": [at("plan", "beryllia"), at("plan", "yellowcake")],
    },
    "azide": {
        "NaN3": [at("plan", "NaN3"), at("load", "NH4N3")],
        "Ba(N3)2 or BaN6": [at("plan", "Ba(N3)2"), at("plan", "BaN6")],
        "the word azide": [at("weigh", "sodium azide")],
    },
    "phosphorus-element": {
        "P or P4": [at("plan", "P"), at("plan", "P4")],
        "white phosphorus by its name": [at("plan", "white phosphorus"), at("plan", "phosphorus, yellow")],
    },
    "alkali-metal": {
        "Li, Na, K, Rb or Cs alone": [at("plan", each) for each in ("Li", "Na", "K", "Rb", "Cs", "NaK")],
        "sodium metal by its name": [at("plan", "sodium metal")],
    },
    "water-reactive": {
        "CaC2": [at("plan", "CaC2"), at("plan", "calcium carbide")],
        "NaH or CaH2": [at("plan", "NaH"), at("plan", "CaH2"), at("plan", "NaBH4")],
        "AlP, Ca3P2 or Zn3P2": [at("plan", each) for each in ("AlP", "Ca3P2", "Zn3P2")],
    },
    "water-reactive-chloride": {each: [at("plan", each)] for each in ("TiCl4", "SnCl4", "SiCl4", "PCl5", "POCl3")}
    | {"aluminium chloride said to be anhydrous": [at("plan", "anhydrous aluminium chloride")]},
    "hydrogen-fluoride": {
        "HF": [at("plan", "HF"), at("mix", "HF")],
        "NH4HF2 or KHF2": [at("plan", "NH4HF2"), at("plan", "KHF2")],
        "hydrofluoric acid by its name": [at("plan", "hydrofluoric acid"), at("plan", "ammonium bifluoride")],
    },
    "osmium-ruthenium": {"OsO4 or RuO4": [at("plan", "OsO4"), at("plan", "RuO4")]},
    "form-not-chosen": {
        "AlCl3 as typed": [at("plan", "AlCl3"), at("weigh", "Co3O4", "AlCl3"), at("plan", "aluminium chloride")]
    },
    "fluoride-indoors": {
        "NaF, LiF, CaF2 or cryolite in any line": [
            at("light", each, **IN) for each in ("NaF", "LiF", "CaF2", "Na3AlF6")
        ],
        "place unknown": [at("light", "AlF3"), at("light", "AlF3", place=None)],
    },
    "carbon-monoxide-charge": {
        "oxalate, acetate, rosin or charcoal in an electric furnace indoors": [
            at("light", each, furnace_fuel="electric", **IN)
            for each in ("FeC2O4*2H2O", "Co(CH3COO)2*4H2O", "@rosin", "charcoal", "C")
        ],
        "place unknown": [at("light", "ZnO", "packing=charcoal")],
    },
    "toxic-element": {
        "PbO": [at("plan", "PbO"), at("weigh", "PbO", "SiO2"), at("fire", "SiO2", "PbO")],
        "CdS": [at("plan", "CdS")],
        "HgS": [at("mix", "HgS")],
        "As2O3": [at("dry", "As2O3")],
        "SeO2": [at("load", "SeO2")],
        "cobalt arsenate target": [
            at("plan", "target=@cobalt-magnesium-arsenate-violet"),
            at("plan", "target=Co3(AsO4)2"),
        ],
        "lead glass as a typed oxide line": [at("plan", "K2O*PbO*6SiO2")],
        "PbO in a flux": [at("plan", "CoO", "Al2O3", "Na2O*2PbO*3B2O3")],
    },
    "card-refuse": {
        "any line or target whose card is flagged refuse": [
            at("plan", "@potassium-dichromate"),
            at("weigh", "@ammonium-dichromate"),
            at("plan", "target=@cobalt-magnesium-arsenate-violet"),
            at("plan", "CrO3"),
        ]
    },
    "chromate-state": {
        "K2Cr2O7": [at("plan", "K2Cr2O7"), at("weigh", "K2Cr2O7")],
        "(NH4)2Cr2O7": [at("plan", "(NH4)2Cr2O7"), at("plan", "N2H8Cr2O7")],
        "CrO3": [at("mix", "CrO3")],
        "Na2CrO4": [at("load", "Na2CrO4"), at("plan", "Na2CrO4*4H2O")],
        "BaCrO4": [at("light", "BaCrO4")],
        "FeCrO4": [at("fire", "FeCrO4")],
        "the words chromate or dichromate": [
            at("plan", "potassium dichromate"),
            at("plan", "zinc chromate, technical"),
            at("plan", "ammonium bichromate"),
        ],
    },
    "nitrate-fuel": {
        "KNO3 + charcoal": [at("plan", "KNO3", "charcoal"), at("grind", "C", "KNO3")],
        "cobalt nitrate on filter paper": [at("dry", "Co(NO3)2*6H2O", "paper=filter paper")],
        "nitrate + oxalate, acetate, citrate, urea or sugar": [
            at("plan", "NaNO3", "FeC2O4*2H2O"),
            at("plan", "NaNO3", "Co(CH3COO)2*4H2O"),
            at("plan", "NaNO3", "C6H8O7"),
            at("plan", "NaNO3", "CO(NH2)2"),
            at("plan", "NaNO3", "sugar"),
            at("plan", "NaNO3", "C12H22O11"),
        ],
        "nitrate ground in alcohol": [at("grind", "KNO3", "liquid=alcohol"), at("grind", "KNO3", "liquid=C2H5OH")],
        "nitrate + CMC or gum binder": [at("mix", "KNO3", "binder=CMC"), at("mix", "KNO3", "binder=gum arabic")],
        "sacrificial charcoal in the packing": [at("load", "Ba(NO3)2", "packing=charcoal")],
    },
    "oxidiser-fuel": {
        "KMnO4 + glycerol, sulfur, charcoal, oxalate, solvent or metal powder": [
            at("plan", "KMnO4", "glycerol"),
            at("plan", "KMnO4", "S"),
            at("plan", "KMnO4", "C"),
            at("plan", "KMnO4", "CoC2O4*2H2O"),
            at("grind", "KMnO4", "liquid=acetone"),
            at("plan", "KMnO4", "Al"),
        ],
        "KClO3 or NaClO4 alone": [at("plan", "KClO3"), at("weigh", "NaClO4"), at("plan", "Ba(ClO3)2*H2O")],
    },
    "thermite": {
        THERMITE: [at("plan", metal, oxide) for metal in ("Al", "Mg", "Zn", "Si", "Ti") for oxide in OXYGEN_GIVERS]
        + [at("mix", "aluminium powder", "Fe2O3")],
    },
    "cyanide-heat": {
        "K4Fe(CN)6 in any charge": [at("plan", "K4Fe(CN)6*3H2O"), at("load", "K4Fe(CN)6"), at("plan", "C6FeK4N6")],
        "ferrocyanide + hot or strong acid": [
            at("wash", "K4Fe(CN)6", acid="hot_or_strong"),
            at("wash", "K4Fe(CN)6", "acid=HCl", acid_hot_or_strong=True),
            at("wash", "K4Fe(CN)6", "acid=HCl"),
        ],
    },
    "acid-sulfide-fluoride": {
        "acid wash of ultramarine or green ultramarine": [
            at("wash", "@ultramarine-blue", "acid=HCl"),
            at("wash", "green ultramarine", acid="other"),
        ],
        "acid on NaF, LiF or CaF2, or on unwashed zircon": [
            at("wash", "NaF", "acid=HCl"),
            at("mix", "LiF", acid="other"),
            at("wash", "CaF2", acid="HCl"),
            at("wash", "ZrO2", "SiO2", "NaF", "target=@vanadium-zircon-blue", acid="HCl"),
        ],
    },
    "sealed-gassing": {
        "carbonate, hydrate, hydroxide, nitrate, ammonium, damp or binder under a luted lid": [
            *(
                at("load", each, lid="sealed", damp=False)
                for each in ("CaCO3", "CuSO4*5H2O", "Al(OH)3", "KNO3", "NH4Cl")
            ),
            at("load", "@zinc-oxide", lid="sealed", damp=True),
            at("load", "@zinc-oxide", "binder=CMC", lid="sealed", damp=False),
            at("light", "SiO2", lid="sealed", evolves=["CO2"]),
        ],
        "gas unknown": [at("load", "SiO2", lid="sealed", evolves="unknown"), at("load", "Mystery frit", lid="sealed")],
    },
    "damp-charge": {
        "wet slurry in the crucible": [at("light", "Al(OH)3", damp=True)],
        "mass not steady": [at("light", "Al(OH)3", damp="not steady")],
        "dryness not recorded": [at("light", "Al(OH)3"), at("light", "Al(OH)3", damp=None)],
    },
    "crucible-rating": {
        "porcelain rated 1050 with a 1200 plan": [
            at("load", crucible_rated_c=1050, peak_c=1200),
            at("light", ware="glazed-porcelain", peak_c=1200),
        ],
        "no rating entered": [
            at("load", crucible_rated_c=None, peak_c=900),
            at("load", crucible_rated_c="unknown", peak_c=900),
            at("load", peak_c=900),
        ],
    },
    "lining-rating": {"wool rated 1000 with a 1200 plan": [at("light", lining_rated_c=1000, peak_c=1200)]},
    "gas-no-co-alarm": {
        "gas forge with alarm absent, expired or not tested today": [
            at("light", furnace_fuel="gas", co_alarm_tested=False),
            at("light", furnace_fuel="gas"),
        ]
    },
    "chloride-indoors": {
        "CoCl2, FeCl3, AlCl3, ZrOCl2, NH4Cl, NaCl, KCl, CaCl2 in any line or as flux": [
            at("light", "Al(OH)3", each, **IN) for each in CHLORIDES
        ],
        "place unknown": [at("light", "KCl", place="unknown"), at("light", "KCl")],
    },
    "release-indoors": {
        "FeSO4": [at("light", "FeSO4*7H2O", **IN)],
        "alum": [at("light", "KAl(SO4)2*12H2O", **IN)],
        "BaSO4": [at("light", "BaSO4", **IN)],
        "NH4H2PO4": [at("light", "NH4H2PO4", **IN)],
        "NH4VO3": [at("light", "NH4VO3", **IN)],
        "Sb2O3": [at("light", "Sb2O3", **IN)],
        "MoO3": [at("light", "MoO3", **IN)],
        "place unknown": [at("light", "FeSO4*7H2O"), at("light", "FeSO4*7H2O", place=None)],
    },
    "flame-no-flue": {
        "forge in a shed with the door open": [at("light", furnace_fuel="gas", place="indoors")],
        "roof with fewer than two open sides": [at("light", furnace_fuel="gas", place="indoors", flue=False)],
    },
    "ventilation-unknown": {
        "no measured or rated air change for the room": [
            at("light", "CaCO3", airflow="unknown", furnace_fuel="electric", **IN),
            at("light", "@quartz-silica", furnace_fuel="gas", **IN),
        ]
    },
    "exposure-screen": {
        "any one gas over a mark, or irritants together over 0.25": [
            at("light", "CaCO3", peak=5, idlh=45, short_limit=None, index=0, **IN),
            at("light", "CaCO3", peak=1.1, idlh=100, short_limit=2, index=0, **IN),
            at("light", "CaCO3", peak=0, idlh=45, short_limit=2, index=0.25, **IN),
            at(
                "light",
                "CaCO3",
                estimates=[{"peak": 0.1, "idlh": 45, "short_limit": 2}, {"peak": 90, "idlh": 100, "short_limit": 0.25}],
                **IN,
            ),
        ]
    },
    "solvent-paste": {
        "alcohol, acetone or turpentine paste not recorded dry": [
            at("dry", "ZnO", "liquid=alcohol"),
            at("light", "ZnO", "liquid=acetone"),
            at("dry", "ZnO", "liquid=C3H6O", damp=True),
            at("light", "ZnO", paste_solvent="turpentine", undried=True),
        ],
        "solvent unknown": [
            at("light", "ZnO", paste_solvent="unknown", undried=True),
            at("dry", "ZnO", "liquid=stuff"),
        ],
    },
    "solvent-near-fire": {
        "acetone grinding while the forge runs": [
            at("grind", "ZnO", "liquid=acetone", flame_or_hot_furnace_within_m=3),
            at("grind", "ZnO", "liquid=acetone"),
            at("fire", flammable_liquid_open=True, flame_or_hot_furnace_within_m=9),
        ]
    },
    "checks-before-lighting": {
        "a tick missing, withdrawn or older than this session": [
            at("light", ticks_missing=1),
            at("light", ticks_missing=["before-lighting-3"]),
            at("light"),
        ]
    },
    "purge": {
        "first light": [at("light", furnace_fuel="gas", purge_volumes=0), at("light", furnace_fuel="gas")],
        "relight after flame-out even with a red-hot wall": [
            at("light", furnace_fuel="gas", purge_volumes=0, furnace_c=900),
        ],
    },
    "flame-lost": {"flame out or lifted off while the valve is open": [at("fire", flame="lost")]},
    "co-reading": {
        "live reading 100 ppm or more": [at("fire", co_ppm=100), at("fire", co_ppm=350.5)],
        "alarm": [at("fire", co_alarm="sounding", co_ppm=5)],
    },
    "co-rising": {"live reading 20 to 99 ppm": [at("fire", co_ppm=20), at("fire", co_ppm=99)]},
    "cooling-unknown": {
        "target without a cooling": [
            at("open", cooling="unknown", furnace_c=600),
            at("open", "target=@manganese-blue", cooling=None, furnace_c=100),
        ],
        "typed target": [at("open", "target=Co2SiO4", furnace_c=400), at("open", "target=Co2SiO4")],
    },
    "hot-pull-unplanned": {
        "opening above the planned temperature": [
            at("open", furnace_c=700, open_below_c=100),
            at("open", open_hot=True, hot_pull_planned=True),
            at("open", open_hot=True, protection_checked=True),
        ],
        "a fast cooling that only the library tells from memory": [
            at("open", cooling="fast", open_hot=True, hot_pull_planned="memory", protection_checked=True),
        ],
    },
    "quench-ware": {
        "porcelain crucible or lid, glass dish, into water": [
            at("open", ware="glazed-porcelain", cooling="quench-water"),
            at("quench", ware=["alumina-99", "unglazed-porcelain"]),
            at("quench", ware="borosilicate-glass", cooling="quench-water"),
            at("quench"),
        ]
    },
    "quench-not-planned": {
        "water quench of CaO-bearing, molten, glassy or unknown charge": [
            at("quench", "CaCO3", "target=@egyptian-blue"),
            at("open", "Mystery frit", cooling="quench-water"),
            at("quench", "target=@manganese-violet"),
        ]
    },
    "unattended": {
        "asking to end the session or mark away while lit": [at("fire", fire="lit", leave=True), at("fire", leave=True)]
    },
    "chromate-forming": {
        "Cr2O3 + CaCO3, SrCO3, BaCO3, Na2CO3, borax, NaF, NaCl, KNO3, CaF2 or LiF": [
            at("plan", "Cr2O3", each, atmosphere="oxidising")
            for each in ["CaCO3", "SrCO3", "BaCO3", "Na2CO3", "Na2B4O7*10H2O", "NaF", "NaCl", "KNO3", "CaF2", "LiF"]
        ],
        "chrome-tin pink": [at("plan", "target=@chrome-tin-pink"), at("wash", "target=@chrome-tin-pink")],
        "Victoria green": [at("light", "target=@victoria-green", atmosphere="oxidising")],
        "lime-bonded hot face": [at("load", "Cr2O3", "Fe2O3", "lining=Ca(OH)2")],
    },
    "no-drain": {
        "first and later rinses of any charge with these metals": [
            at("wash", each) for each in ["Co3O4", "NiO", "CuO", "Cr2O3", "V2O5", "BaCO3", "ZnO", "MnO2", "Sb2O3"]
        ]
    },
    "reproductive": {
        "boric acid": [at("weigh", "H3BO3")],
        "borax": [at("weigh", "Na2B4O7*10H2O")],
        "B2O3": [at("mix", "B2O3")],
        "lithium salts": [at("plan", "Li2CO3"), at("plan", "LiF"), at("plan", "Li3PO4")],
        "cobalt": [at("load", "Co3O4")],
        "nickel": [at("weigh", "NiO")],
        "V2O5": [at("weigh", "V2O5")],
        "NH4VO3": [at("weigh", "NH4VO3")],
        "KMnO4": [at("weigh", "KMnO4")],
        "question not answered": [at("weigh", "H3BO3", person_pregnant_or_planning=None)],
    },
    "nickel-co": {
        "NiO with charcoal or a rich flame kept on while cooling below about 200 °C": [
            at("fire", "NiO", "packing=charcoal"),
            at("plan", "NiO", reducing=True, cooling_in_reducing_gas=True),
            at("open", "NiO", atmosphere="reducing"),
        ]
    },
    "glass-quench": {
        "borate, silicate or phosphate melt with alkali": [
            at("quench", "Na2B4O7 10"),
            at("quench", "SiO2 10", "Na2CO3 5"),
            at("open", "NH4H2PO4", "Li2CO3", cooling="quench-water"),
        ]
    },
    "chlorine-release": {
        "HCl wash of MnO2 or of raw Co3O4": [
            at("wash", "MnO2", "acid=HCl"),
            at("wash", "@cobalt-ii-iii-oxide", acid="HCl"),
        ],
        "bleach with acid or ammonium salt": [
            at("wash", "bleach", acid="HCl"),
            at("mix", "bleach", "NH4Cl"),
            at("mix", "NaOCl", "(NH4)2HPO4"),
        ],
    },
    "oxide-fuel": {
        "MnO2 + charcoal or sulfur mixed in one charge": [
            at("mix", "MnO2", "charcoal"),
            at("load", "@manganese-dioxide", "S"),
            at("light", "MnO2", "@rosin"),
        ]
    },
    "ammonium-nitrate-mix": {
        "NH4VO3 + Bi(NO3)3 dry": [
            at("mix", "NH4VO3", "Bi(NO3)3*5H2O", dry_mix=True),
            at("mix", "NH4VO3", "Bi(NO3)3*5H2O"),
        ],
        "NH4Cl + KNO3": [at("load", "NH4Cl", "KNO3")],
        "NH4H2PO4 + Mg(NO3)2": [at("dry", "NH4H2PO4", "Mg(NO3)2*6H2O")],
    },
    "froth-fill": {
        "borax, boric acid, NH4H2PO4, (NH4)2HPO4 over a fifth full": [
            at("load", each, "Al2O3 3", fill_fraction=0.25)
            for each in ("Na2B4O7*10H2O 4", "H3BO3 1", "NH4H2PO4 2", "(NH4)2HPO4 2")
        ]
        + [at("load", "H3BO3")],
        "alum over a tenth": [
            at("load", "KAl(SO4)2*12H2O 20", fill_fraction=0.11),
            at("load", "@ammonium-alum 20", fill_fraction=0.15),
        ],
    },
    "dust-mask": {
        "cobalt, nickel, vanadium, antimony, indium, quartz dry": [
            at("weigh", each, dry_handling=True)
            for each in ("Co3O4", "NiO", "V2O5", "Sb2O3", "In2O3", "@quartz-silica", "SiO2", "@kaolin")
        ]
        + [at("weigh", "Co3O4")],
    },
    "metal-fume": {
        "V2O5 melt": [at("fire", "V2O5", peak_c=700), at("plan", "V2O5")],
        "MoO3": [at("fire", "MoO3", peak_c=800)],
        "Sb2O3": [at("light", "Sb2O3", peak_c=1000)],
        "zinc with charcoal": [at("fire", "ZnO", "charcoal", peak_c=950)],
        "copper with salt": [at("fire", "CuO", "NaCl", peak_c=600)],
    },
    "too-hot-to-touch": {
        "crucible out without its own reading": [
            at("open", was_hot=True),
            at("wash", was_hot=True, own_reading_c="none"),
        ],
        "only a furnace reading": [at("open", was_hot=True, furnace_c=25)],
    },
    "oily-rags": {
        "linseed, walnut, poppy or tung oil on cloth or paper": [
            at("swatch", "CoAl2O4", f"binder={oil} oil") for oil in ("linseed", "walnut", "poppy", "tung")
        ]
        + [at("swatch", drying_oil_used=True), at("swatch")],
        "Co or Mn pigments speed it": [
            at("swatch", "@cobalt-aluminate-blue", "binder=linseed oil", rags_disposed=False)
        ],
    },
    "no-card": {
        "typed formula or own reagent without a card": [
            at("plan", "SrS"),
            at("weigh", "Mystery frit"),
            at("plan", "CoWO4"),
        ],
        "liquid, packing or binder without one": [
            at("plan", "ZnO", "binder=gum arabic"),
            at("weigh", "ZnO", "liquid=stuff"),
        ],
    },
    "formula-unread": {
        "frit, glass, clay body or trade powder without a formula": [
            at("plan", each) for each in ("alkaline frit", "bottle glass", "stoneware body", "Wonder Blue 17")
        ],
        "tellurium": [at("plan", each) for each in ("TeO2", "H2TeO4", "Bi2Te3")],
    },
    "crucible-memory": {
        "a zircon yellow in a crucible that held a cobalt blue": [
            at("load", "target=@praseodymium-zircon-yellow", crucible_held=["Co", "Al"]),
            at("plan", target_pale=True, crucible_held="Co"),
            at("load", "target=@praseodymium-zircon-yellow"),
        ]
    },
}

NOT_CAUGHT: dict[str, dict[str, list[Scene]]] = {
    "waste-acid": {
        "acid with carbonate or sulfate": [at("waste", "hydrochloric acid", "CaCO3", "BaSO4")],
        "a container set up for no acid": [at("waste", "ultramarine, no acid"), at("waste", "boric acid", "NaF")],
    },
    "waste-bleach": {"ammonium with chloride": [at("waste", "NH4Cl", "NaCl")]},
    "waste-nitrate-fuel": {"nitrate with oxides or carbonates": [at("waste", "KNO3", "Co3O4", "CaCO3")]},
    "refused-elements": {
        "boron and bismuth": [at("plan", "B2O3", "Bi2O3")],
        "tungsten": [at("plan", "WO3")],
        "a word that holds the letters": [at("plan", "Thivier earth"), at("plan", "ultramarine")],
    },
    "azide": {
        "Si3N4, Ca3N2 and other nitrides": [at("plan", each) for each in ("Si3N4", "Ca3N2", "BN", "Li3N", "TiN")],
        "NaNO3": [at("plan", "NaNO3"), at("plan", "Bi(NO3)3*5H2O"), at("plan", "Co(NH3)6Cl3")],
        "NH4Cl": [at("plan", "NH4Cl")],
    },
    "phosphorus-element": {
        "red phosphorus said to be red": [at("plan", "red phosphorus")],
        "phosphates": [at("plan", "AlPO4", "Li3PO4")],
        "phosphorus pentoxide by its formula": [at("plan", "P2O5")],
    },
    "alkali-metal": {
        "their salts": [at("plan", "NaCl", "K2CO3", "Li2O")],
        "magnesium or zinc powder (own rules)": [at("plan", "Mg"), at("plan", "Zn")],
    },
    "water-reactive": {
        "SiC or TiC": [at("plan", "SiC", "TiC")],
        "titanium hydride": [at("plan", "TiH2")],
        "phosphates": [at("plan", "Zn3(PO4)2", "AlPO4")],
    },
    "water-reactive-chloride": {
        each: [at("plan", each)] for each in ("SnCl4*5H2O", "AlCl3*6H2O", "SnCl2", "FeCl3", "ZrOCl2")
    },
    "hydrogen-fluoride": {
        "NaF": [at("plan", "NaF")],
        "NH4F": [at("plan", "NH4F")],
        "AlF3*3H2O": [at("plan", "AlF3*3H2O")],
    },
    "osmium-ruthenium": {"RuO2": [at("plan", "RuO2")]},
    "form-not-chosen": {"AlCl3*6H2O": [at("plan", "AlCl3*6H2O")], "Al2O3": [at("plan", "Al2O3", "NaCl")]},
    "fluoride-indoors": {
        "outdoors": [at("light", "NaF", **OUT)],
        "chloride (own rule)": [at("light", "NaCl", **IN)],
    },
    "carbon-monoxide-charge": {
        "outdoors": [at("light", "C", **OUT)],
        "carbonate without charcoal": [at("light", "CaCO3", "CoCO3", **IN)],
        "a binder of a few drops": [at("light", "ZnO", "binder=gum arabic", **IN)],
    },
    "toxic-element": {
        "trace figures in an assay note": [at("plan", "zinc oxide, Pb below 20 ppm")],
        "letters inside other symbols (Pb is not P+b)": [
            at("plan", "CoHPO4"),
            at("plan", "AlPO4"),
            at("plan", "ScBO3"),
        ],
        "words such as lead wire": [at("plan", "lead wire"), at("plan", "leaded-free brush")],
    },
    "card-refuse": {"cards flagged avoid or caution": [at("plan", "@cobalt-chloride-hexahydrate"), at("plan", "CuO")]},
    "chromate-state": {
        "Cr2O3": [at("plan", "Cr2O3"), at("plan", "Cr2O3", "CaCO3")],
        "Cr(OH)3": [at("plan", "Cr(OH)3*2H2O")],
        "Cr(NO3)3": [at("plan", "Cr(NO3)3*9H2O"), at("plan", "CrN3O9")],
        "CoCr2O4": [at("plan", "CoCr2O4")],
        "CuCr2O4": [at("plan", "CuCr2O4"), at("plan", "target=@copper-chromite-black")],
        "CoAlCrO4 and ZnFeCrO4 (Cr is +3 though CrO4 stands in the text)": [
            at("plan", "CoAlCrO4"),
            at("plan", "ZnFeCrO4"),
        ],
        "dopants in tin, titanium or alumina": [
            at("plan", "Sn0.98Cr0.02O2"),
            at("plan", "Ti0.9Cr0.05Sb0.05O2"),
            at("plan", "Al1.96Cr0.04O3"),
            at("plan", "CaSn0.99Cr0.01SiO5"),
        ],
    },
    "nitrate-fuel": {
        "KNO3 alone": [at("plan", "KNO3")],
        "nitrate + oxides or carbonates": [at("plan", "KNO3", "Co3O4", "CaCO3", "Zn5(CO3)2(OH)6", "NaHCO3")],
        "nitrate in water": [at("mix", "KNO3", "liquid=water"), at("mix", "KNO3", "liquid=H2O")],
        "phosphate, ammonium or nitride are not nitrate": [
            at("plan", "Co3(PO4)2*8H2O", "C"),
            at("plan", "NH4Cl", "(NH4)2HPO4", "C"),
            at("plan", "Si3N4", "BN", "C"),
        ],
        "carbonate carbon is not fuel": [at("plan", "KNO3", "CoCO3", "Cu2CO3(OH)2", "Bi2O2CO3", "MnCO3", "CCaO3")],
    },
    "oxidiser-fuel": {
        "KMnO4 with Na2SO4 and Ba(NO3)2 and no fuel": [
            at("plan", "KMnO4", "Na2SO4", "Ba(NO3)2", "target=@manganese-blue")
        ],
        "chlorides and oxychlorides (NaCl, NH4Cl, ZrOCl2)": [at("plan", "NaCl", "NH4Cl", "ZrOCl2*8H2O", "BiOCl", "C")],
        "MnO2 (own rule)": [at("plan", "MnO2", "C")],
    },
    "thermite": {
        "aluminium oxide or hydroxide": [at("plan", "Al2O3", "Al(OH)3", "Fe2O3")],
        "a metal crucible or tongs": [
            at("load", "Fe2O3", ware="steel"),
            at("load", "Fe2O3", "packing=aluminium foil lids"),
        ],
        "zinc oxide": [at("plan", "ZnO", "Fe2O3"), at("plan", "Al", "ZnO")],
        "metal powder with nitrate (nitrate-fuel, metal powder is a fuel)": [at("plan", "Mg", "KNO3")],
    },
    "cyanide-heat": {
        "carbonate, carbide and nitrate are not cyanide": [at("plan", "CaCO3", "SiC", "KNO3"), at("plan", "(NH4)2CO3")],
        "cold wet precipitation of iron blue (flagged by its card)": [
            at("plan", "K4Fe(CN)6*3H2O", "FeCl3*6H2O", **COLD),
            at("wash", "K4Fe(CN)6*3H2O"),
        ],
    },
    "acid-sulfide-fluoride": {
        "water wash": [at("wash", "NaF", acid="none"), at("wash", "NaF")],
        "sulfates (SO4) are not sulfide": [at("wash", "BaSO4", "FeSO4*7H2O", acid="HCl")],
        "ultramarine kept at pH 7 or more": [at("wash", "@ultramarine-blue", acid="none")],
    },
    "sealed-gassing": {
        "luted lid with a pinhole (counts as vented)": [at("load", "CaCO3", lid="vented")],
        "charge whose computed gas is zero": [
            at("load", "CaCO3", lid="sealed", evolves="none"),
            at("load", "@titania-rutile", "@alpha-alumina", lid="sealed", damp=False),
        ],
        "loose lid": [at("load", "CaCO3", lid="loose"), at("light", "CaCO3", lid="none")],
    },
    "damp-charge": {
        "loading a damp charge (allowed)": [at("load", "Al(OH)3", damp=True)],
        "crystal water of a hydrate (own fill and ramp rules)": [at("light", "CuSO4*5H2O", damp=False)],
    },
    "crucible-rating": {
        "rating equal to or above the peak": [
            at("load", crucible_rated_c=1200, peak_c=1200),
            at("light", ware="alumina-99", peak_c=1300),
        ]
    },
    "lining-rating": {"rating unknown (flagged, not blocked)": [at("light", lining_rated_c=1300, peak_c=1200)]},
    "gas-no-co-alarm": {
        "electric furnace without charcoal, organics or carbonates under cover": [
            at("light", "ZnO", furnace_fuel="electric")
        ]
    },
    "chloride-indoors": {
        "outdoors": [at("light", "KCl", **OUT), at("light", "KCl", place="roofed")],
        "ppm chloride in an assay note": [at("light", "zinc oxide, chloride 40 ppm", **IN)],
        "chlorate (own rule)": [at("light", "KClO3", **IN)],
    },
    "release-indoors": {
        "phosphate without ammonium": [at("light", "Co3(PO4)2*8H2O", **IN)],
        "borate": [at("light", "Na2B4O7*10H2O", **IN)],
        "plain carbonates and hydroxides (exposure-screen decides)": [at("light", "CaCO3", "Al(OH)3", **IN)],
    },
    "flame-no-flue": {
        "outdoors": [at("light", furnace_fuel="gas", **OUT)],
        "roof with two open sides": [at("light", furnace_fuel="gas", place="roofed")],
        "furnace piped to a flue": [at("light", furnace_fuel="gas", flue=True, **IN)],
    },
    "ventilation-unknown": {
        "outdoors (no figure is given there)": [at("light", "CaCO3", **OUT)],
        "a charge with no gas in an electric furnace": [
            at(
                "light",
                "@titania-rutile",
                "@alpha-alumina",
                furnace_fuel="electric",
                damp=False,
                atmosphere="oxidising",
                place="indoors",
            ),
            at("light", "CaCO3", airflow=6, **IN),
        ],
    },
    "exposure-screen": {
        "a result under the marks is not a pass: say this estimate found nothing": [
            at("light", "CaCO3", peak=1, idlh=40000, short_limit=15000, index=0.1, **IN),
            at("light", "CaCO3", estimates=[{"peak": 1, "idlh": 45, "short_limit": 5}], index=0.2, **IN),
        ],
        "it cannot show safety": [at("light", "CaCO3", peak=4000, idlh=4, short_limit=1, index=9, **OUT)],
    },
    "solvent-paste": {
        "water paste (see damp-charge)": [at("light", "ZnO", "liquid=water"), at("dry", "ZnO", paste_solvent="none")],
        "solvent paste dried in open air and recorded": [at("light", "ZnO", "liquid=acetone", damp=False)],
        "drying in open air away from heat": [at("dry", "ZnO", "liquid=acetone", drying="open-air")],
    },
    "solvent-near-fire": {
        "linseed oil cold": [at("swatch", "CoAl2O4", "binder=linseed oil", flame_or_hot_furnace_within_m=1)],
        "closed cans in store": [
            at("fire", flammable_liquid_open=False, flame_or_hot_furnace_within_m=1),
            at("grind", "ZnO", "liquid=acetone", flame_or_hot_furnace_within_m=10),
        ],
    },
    "checks-before-lighting": {
        "a fire already lit: recording goes on and the unmet stop stays on the screen": [
            at("fire", ticks_missing=3),
            at("light", ticks_missing=0),
            at("light", ticks_missing=[]),
        ]
    },
    "purge": {
        "electric furnace": [at("light", furnace_fuel="electric"), at("light", furnace_fuel="gas", purge_volumes=4)]
    },
    "flame-lost": {"planned shutdown with the valve closed": [at("fire", flame="out"), at("fire")]},
    "co-reading": {"20 to 99 ppm (co-rising)": [at("fire", co_ppm=99), at("fire", co_ppm=20, co_alarm="silent")]},
    "co-rising": {
        "under 20 ppm": [at("fire", co_ppm=19.9)],
        "no reading is not zero (gas-no-co-alarm)": [at("fire"), at("fire", co_ppm=100)],
    },
    "cooling-unknown": {
        "a planned cooling read from a source": [
            at("open", cooling="in-furnace", furnace_c=400),
            at("open", cooling="unknown", furnace_c=99),
        ]
    },
    "hot-pull-unplanned": {
        "opening at or below the planned temperature": [
            at("open", furnace_c=700, open_below_c=700),
            at("open", furnace_c=80),
            at("open", open_hot=True, hot_pull_planned=True, protection_checked=True),
        ]
    },
    "quench-ware": {
        "powder tipped from the ware onto steel": [at("open", ware="glazed-porcelain", cooling="fast")],
        "alumina in air": [at("open", ware="alumina-99", cooling="fast"), at("quench", ware="alumina-99")],
    },
    "quench-not-planned": {
        "manganese violet, whose cooling words name water while its mode says either (then it is caught)": [
            at("quench", "target=@manganese-violet", target_cooling="quench-water")
        ]
    },
    "unattended": {
        "handing over to a named person present": [at("fire", fire="lit", leave=False), at("fire", fire="lit")]
    },
    "chromate-forming": {
        "Cr2O3 alone": [at("plan", "Cr2O3")],
        "Cr2O3 with ZnO, Al2O3, MgO, TiO2, SnO2, Co3O4 or Fe2O3 only": [
            at("plan", "Cr2O3", "ZnO", "Al2O3", "MgO", "TiO2", "SnO2", "Co3O4", "Fe2O3")
        ],
        "luted airless charge": [at("plan", "Cr2O3", "CaCO3", atmosphere="airless")],
    },
    "no-drain": {
        "iron, titanium, aluminium or silica washes free of them": [at("wash", "Fe2O3", "TiO2", "Al2O3", "SiO2")]
    },
    "reproductive": {
        "boron nitride or carbide ware": [at("weigh", "ZnO"), at("load", "ZnO", ware="silicon-carbide")],
        "a person who answered no": [at("weigh", "H3BO3", person_pregnant_or_planning=False)],
    },
    "nickel-co": {
        "nickel in an oxidising fire": [at("plan", "NiO", atmosphere="oxidising")],
        "nickel ware": [at("fire", "ZnO", ware="nickel", reducing=True)],
    },
    "glass-quench": {
        "dry powder charge": [at("quench", "Co3O4", "Al2O3"), at("quench", "SiO2 98", "Na2CO3 2")],
        "air cooling": [at("open", "SiO2", "Na2CO3", cooling="fast")],
    },
    "chlorine-release": {
        "HCl on Fe2O3 or on CaCO3 (CO2 only, vented)": [at("wash", "Fe2O3", "CaCO3", acid="HCl")],
        "MnO2 with NaCl, dry and cold": [at("mix", "MnO2", "NaCl")],
    },
    "oxide-fuel": {
        "charcoal outside the crucible in the packing when no nitrate is present": [
            at("load", "MnO2", "packing=charcoal")
        ],
        "Fe2O3 with a little charcoal": [at("mix", "Fe2O3", "charcoal")],
    },
    "ammonium-nitrate-mix": {
        "wet precipitation that is filtered and washed": [at("dry", "NH4VO3", "Bi(NO3)3*5H2O", dry_mix=False)],
        "ammonium phosphate with oxides": [at("mix", "NH4H2PO4", "Co3O4", "MgO")],
    },
    "froth-fill": {
        "a few per cent of borax as flux (under a tenth of the charge by mass)": [
            at("load", "Na2B4O7*10H2O 0.3", "Al2O3 9", fill_fraction=0.6)
        ],
        "borax glass": [at("load", "Na2B4O7 5", fill_fraction=0.6), at("load", "B2O3 5", fill_fraction=0.5)],
        "oxide charge at two thirds": [at("load", "Co3O4 3", "Al2O3 5", fill_fraction=0.66)],
    },
    "dust-mask": {
        "the same powder as a wet slurry (mask still offered)": [
            at("grind", "Co3O4", "liquid=water"),
            at("weigh", "Co3O4", dry_handling=False),
            at("weigh", "ZnO"),
        ]
    },
    "metal-fume": {
        "zinc oxide in an oxidising fire": [at("fire", "ZnO", peak_c=1200, atmosphere="oxidising")],
        "the fired spinel or rutile with no free oxide left": [
            at("fire", "@nickel-antimony-titanium-yellow", peak_c=1100),
            at("fire", "@zinc-iron-tan", peak_c=1100, reducing=True),
            at("fire", "Sb2O3", peak_c=599),
        ],
    },
    "too-hot-to-touch": {
        "a reading of that crucible under 40 °C": [
            at("open", was_hot=True, own_reading_c=39.9),
            at("grind", was_hot=False),
        ],
        "a furnace reading never clears it": [at("open", was_hot=True, furnace_c=900, own_reading_c=25)],
    },
    "oily-rags": {
        "water-based swatches": [at("swatch", "CoAl2O4", "binder=gum arabic"), at("swatch", drying_oil_used=False)]
    },
    "no-card": {
        "a reagent or target that points at a card": [
            at("plan", "@cobalt-ii-iii-oxide", "Al(OH)3", "liquid=water", "target=@cobalt-aluminate-blue"),
            at("weigh", "Co(NO3)2", "liquid=acetone", "binder=linseed oil"),
        ]
    },
    "formula-unread": {
        "water, air-dried clean sand": [at("plan", "ZnO", "liquid=distilled water", "packing=air-dried clean sand")],
    },
    "crucible-memory": {
        "two firings of the same colour family": [at("load", "target=@cobalt-aluminate-blue", crucible_held=["Co"])],
        "a crucible marked clean after a white blank": [
            at("load", "target=@praseodymium-zircon-yellow", crucible_held="none"),
            at("load", "target=@praseodymium-zircon-yellow", crucible_held=[]),
            at("load", "target=@praseodymium-zircon-yellow", crucible_held=["Zr", "Pr"]),
            at("plan", "target=@praseodymium-zircon-yellow"),
        ],
    },
}
