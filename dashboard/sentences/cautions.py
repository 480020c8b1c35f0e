"""Cautions in plain words, each shown where it applies and no oftener. Common practice and first-aid advice where no
source is named; none of them is a diagnosis, and qualified professionals and local rules come first.
"""

from __future__ import annotations

FOOT = "Training log and charts, not medical advice. Local rules and qualified professionals come first."

# Sources: Riebe 2015 (clearance), Lloyd 2014, doi:10.1136/bjsports-2013-092952 (youth), the review of rhabdomyolysis
# PMID 27900193, MacDougall 1985 (blood pressure in the leg press), Jasien 2015 (eye pressure head-down), ACOG 804 (2020).
BY_TOPIC = {
    "start": "New to exercise, pregnant or lately given birth, with a hernia or a recent operation, with a heart, kidney, eye or metabolic condition, "
             "or on glucose-lowering drugs or beta-blockers: ask a health professional first. Under 18: with a qualified adult. Not with fever, and "
             "less in heat. Stop and get help for chest pain, fainting, a sudden severe headache, numbness or trouble breathing.",
    "first_weeks": "In the first four weeks few sets do: about four for a part in a session, each ended well short of failure.",
    "new_work": "After a hard session of something new, some soreness is ordinary. Very dark urine, marked swelling or weakness is not: have it seen the same day.",
    "coming_back": "Coming back after a break, the usual loads often feel light before the tissues are used to them again. After illness or an operation, "
                   "ask the person who treats you first.",
    "breath": "Heavy sets and long holds raise blood pressure for their time: breathe out on the effort. With high blood pressure, ask before doing them.",
    "upside_down": "Upside-down work raises the pressure in the eyes and the head. Leave it out with glaucoma, after eye surgery, with uncontrolled blood "
                   "pressure or in pregnancy unless your clinician agrees; clear the floor, know the way down, use a wall or a spotter.",
    "lowering": "Lowering-only work makes more soreness than its load suggests. The usual beginning is one to three easy sets.",
    "anchors": "Check what holds you before each session: door bars, tables, straps and bands give way without warning. Keep home-made loads such as jugs "
               "and bags away from over the face.",
    "bench_dips": "Deep bench dips take the shoulder far back: stop where the upper arm is level, and leave them out where the shoulder complains.",
    "neck": "Loaded neck work: slowly, light, through a range that is free of pain, and not with numbness in an arm or after a neck injury.",
    "bending": "With osteoporosis, loaded bending and twisting of the trunk is commonly left out: ask first.",
    "grip": "Grip-heavy work has doubled, or came on more than three days running: elbows and wrists often ask for a day between.",
    "wrists": "Sets with body weight on the wrists have doubled, or came on more than three days running: wrists often ask for a day between, a fist or handles.",
    "ache": "Where an elbow, wrist or shoulder aches two sessions running, people commonly hold or lighten the load, or turn the grip to neutral.",
    "pain": "Pain above 5 of 10, or pain that has lasted two weeks: have it seen by a qualified professional.",
}
