"""What the scenarios of workshops say they teach, asked of the verb workshop; see claims.py.

Source of each claim: the comment that opens the scenario named.
"""
import json
import os
import subprocess


def plan(name, *options):
    """The answer of six days of a shipped scenario."""
    scenario = os.path.join(os.environ["SCENARIOS_DIR"], name + ".conf")
    told = subprocess.run([os.environ["VATCAST"], "workshop", scenario, "--json", "-q", "--replications", "6", "--no-table",
                           "--set", "rtol=1e-4", *options], stdout=subprocess.PIPE, check=True)
    return json.loads(told.stdout)


def workshop_class(prepared):
    answer = plan("workshop-class")
    day = answer["as_written"]
    more = answer["wait_p90_min_with_more"]
    bare = answer["vats_that_never_tire"]["wait_p90_min"]
    fewer_dips = plan("workshop-class", "--set", "workshop.dips=3")["as_written"]
    return {
        "the vat is ready when the class begins": prepared.states[int(prepared.at("state", 18 * 3600))] == "ready",
        "all wait about as long": day["wait_p90_min"] < 2.5 * day["wait_p50_min"],
        "only more places shorten it": answer["limit"] == "places in the vats" and more["places in the vats"] < 0.7 * bare,
        "not helpers": more["helpers"] > 0.9 * bare,
        "nor lines": more["drying lines"] > 0.9 * bare,
        "five dips are light blue": day["at_shade_share"] > 0.9,
        "three are not": fewer_dips["at_shade_share"] < 0.5,
        "two vats bear it all day": day["usable_share"] > 0.999 and day["serves"],
    }


def workshop_open_day(_):
    two = plan("workshop-open-day")["as_written"]
    one = plan("workshop-open-day", "--set", "workshop.vats=1", "--no-chemistry")["as_written"]
    return {
        "less than half of the places in use": two["places_used_share"] < 0.5,
        "most find a place at once": two["wait_p50_min"] < 0.1,
        "still somebody waits": two["wait_longest_min"] > 2,
        "one vat is in use five sixths of the time": 0.75 < one["places_used_share"] < 0.9,
        "and one in ten waits twenty minutes": 12 < one["wait_p90_min"] < 30,
        "light cloth asks little": two["usable_share"] > 0.999 and min(v["strength_at_closing"] for v in two["vats"]) > 0.6,
    }


def workshop_twenty(_):
    two = plan("workshop-twenty")["as_written"]
    twelve = plan("workshop-twenty", "--set", "workshop.arrive.1.people=6", "--set", "workshop.pieces=1")["as_written"]
    return {
        "two pails serve a small class": twelve["serves"],
        "they fail twenty people with two towels each": two["finished_share"] < 0.5,
        "the line grows first": two["wait_p90_min"] > 60,
        "then the liquor tires": all(v["days_below_usable_share"] > 0.8 and v["below_usable_because"] == "tired"
                                     and v["below_usable_p50_h_after_opening"] > 3 for v in two["vats"]),
    }


WORKSHOP_CLAIMS = {
    "workshop-class": (workshop_class, ()),
    "workshop-open-day": (workshop_open_day, ()),
    "workshop-twenty": (workshop_twenty, ()),
}
