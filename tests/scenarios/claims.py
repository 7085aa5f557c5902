"""What each shipped scenario says it teaches, as inequalities between results; shipped.py asks them.

Source of each claim: the comment that opens the scenario named. Each margin leaves room for a constant to move within
its range, but not for the lesson to turn round.
"""
from claims_fermentation import FERMENTATION_CLAIMS
from claims_workshop import WORKSHOP_CLAIMS

HOUR = 3600.0
DAY = 86400.0


class Result:
    """A result file read whole: the series, the tables and the ledgers as plain arrays."""

    def __init__(self, path, h5py):
        with h5py.File(path, "r") as file:
            self.series = {name: item[()] for name, item in file.items() if isinstance(item, h5py.Dataset)}
            self.states = words(file["state"])
            self.actions = words(file["events/action"])
            self.events = {name: item[()] for name, item in file["events"].items()}
            self.dips = {name: item[()] for name, item in file["dips"].items()}
            self.pieces = {name: item[()] for name, item in file["pieces"].items()}
            self.ledgers = {name: dict(zip(words(group["row"]), group["amount"][()]))
                            for name, group in file["ledger"].items()}

    def at(self, name, time):
        """A series at the last record at or before a time."""
        return self.series[name][self.series["time"] <= time + 1][-1]

    def share(self, *states):
        """Share of the records in which the vat is in one of these states."""
        state = self.series["state"]
        return sum(float((state == self.states.index(word)).mean()) for word in states)

    def first(self, name, least):
        """When a series first comes to a value; s, infinite when it never does."""
        times = self.series["time"][self.series[name] >= least]
        return times[0] if len(times) else float("inf")

    def first_ready(self):
        times = self.series["time"][self.series["state"] == self.states.index("ready")]
        return times[0] if len(times) else float("inf")

    def done(self, word=None):
        """Events of the scenario that were done, all or those of one action; the run's own do not count."""
        own = self.events["action"] < self.actions.index("cloth_out")
        action = own if word is None else self.events["action"] == self.actions.index(word)
        return int((action & (self.events["done"] > 0)).sum())

    def skipped(self):
        return int((self.events["done"] == 0).sum())

    def washed(self, kind=None, first=1, last=10**6):
        """Per cent of indigotin on the washed pieces of a kind, by number; the last kind when none is named."""
        kind = self.pieces["kind"].max() if kind is None else kind
        number = self.pieces["number"]
        return self.pieces["owf_washed"][(self.pieces["kind"] == kind) & (number >= first) & (number <= last)]

    def uptake(self, row):
        """What a dip takes for the leuco it meets, g/kg; 0.7 is the exponent of cotton in models/fibres.conf."""
        return self.dips["sorbed"][row] / self.dips["leuco"][row] ** 0.7

    def cloth(self):
        return self.pieces["mass"].sum(), self.pieces["dips"].sum()

    def added(self, ledger):
        return self.ledgers[ledger].get("added", 0.0)

    def met_air(self):
        return -sum(amount for row, amount in self.ledgers["hexose"].items() if row.startswith("met_air"))

    def oxygen_in(self):
        return sum(amount for row, amount in self.ledgers["oxygen"].items() if amount > 0 and row not in
                   ("dissolved", "peroxide", "in_liquor"))


def words(item):
    text = item.attrs["flag_meanings"]
    return (text.decode() if isinstance(text, bytes) else str(text)).split()


def fresh_vat(fresh):
    lime = fresh.ledgers["lime"]
    return {
        "ready within the first two hours": fresh.first_ready() < 2 * HOUR,
        "ready for the swatch and for the napkins": fresh.share("ready") > 0.9,
        "a swatch on the first afternoon tells": fresh.washed(0).max() > 0.1,
        "four napkins are dyed": fresh.washed(1).min() > 0.3,
        "and alike": fresh.washed(1).max() < 1.1 * fresh.washed(1).min(),
        "lime goes into the acids of spent sugar": -lime["acids_of_breakdown"] > 0.3 * lime["added"],
    }


def valley_sashes(valley):
    sugar = valley.ledgers["hexose"]
    sashes = valley.pieces["kind"] == 1
    return {
        "six weeks": valley.series["time"][-1] >= 42 * DAY - 1,
        "at least 100 events of the scenario": valley.done() >= 100,
        "rules are both followed and let be": valley.done("add") > 20 and valley.skipped() > 20,
        "every sash had nine dips": (valley.pieces["dips"][sashes] == 9).all(),
        "the sashes differ little": valley.washed(1).min() > 0.75 * valley.washed(1).max(),
        "a middle blue": 0.4 < valley.washed(1).mean() < 1.6,
        "ready most of the time": valley.share("tired", "sugar_spent", "lime_short", "oxidised") < 0.2,
        "sugar goes mostly into the lime": -sugar["broke_down"] > 0.7 * sugar["added"],
        "and little into the indigo": -sugar["reduced_indigo"] < 0.1 * sugar["added"],
        "the lime of the make-up is used up": valley.series["lime_solid"][-1] < 1,
    }


def month_asleep(asleep):
    return {
        "asleep: little leuco at the start": asleep.series["reduced_share"][0] < 0.15,
        "not at once awake": asleep.first_ready() > HOUR,
        "awake the same day": asleep.first_ready() < 8 * HOUR,
        "leuco comes back": asleep.at("leuco", 8 * HOUR) > 2 * asleep.at("leuco", 0.5 * HOUR),
        "nearly all the indigo was still there": asleep.ledgers["indigo"]["initial"] > 0.99 * 120 * 0.38,
        "the towels take colour": asleep.washed().min() > 0.12,
    }


def careless(careless, careful):
    return {
        "the same cloth and dips": careless.cloth() == careful.cloth(),
        "the same doses": careless.added("hexose") == careful.added("hexose") and
                          careless.added("lime") == careful.added("lime"),
        "much more oxygen comes in": careless.oxygen_in() > 2 * careful.oxygen_in(),
        "much more sugar meets air": careless.met_air() > 2 * careful.met_air(),
        "more leuco meets air": # the row is negative: oxygen that went out
            careless.ledgers["oxygen"]["took_leuco"] < 1.5 * careful.ledgers["oxygen"]["took_leuco"],
        "the liquor is cooler": careless.at("temperature", 3 * DAY) < careful.at("temperature", 3 * DAY) - 2,
        "the aprons are paler": careless.washed().max() < 0.75 * careful.washed().min(),
        "the careful vat stays ready": careful.share("ready") > 0.9,
        "the careless one does not": careless.share("ready") < 0.5,
    }


def cold_shed(cold, warm):
    return {
        "the same cloth and dips": cold.cloth() == warm.cloth(),
        "the same recipe": all(cold.added(name) == warm.added(name) for name in ("indigo", "hexose", "lime")),
        "the warm vat is ready within two hours": warm.first_ready() <= 2 * HOUR,
        "the cold vat takes most of a day to the same leuco": cold.first("leuco", 0.35) > 12 * HOUR and
                                                              warm.first("leuco", 0.35) < 5 * HOUR,
        "the first kerchiefs are pale in the cold": cold.washed(last=2).max() < 0.5 * warm.washed(last=2).min(),
        "the warm room's first kerchiefs are its best": warm.washed(last=2).min() > warm.washed(first=3).max(),
        "the cold spares sugar": cold.at("hexose", 3 * DAY) > 1.5 and warm.at("hexose", 3 * DAY) < 0.3,
        "once warmed, the cold vat dyes darker": cold.washed(first=9).min() > 1.2 * warm.washed(first=9).max(),
    }


def overlimed(overlimed, fresh):
    late = int((overlimed.dips["time"] < 4 * DAY).sum())
    first_fresh = int((fresh.dips["kind"] == 0).sum())
    morning = 25 * HOUR
    return {
        "the same indigo": overlimed.added("indigo") == fresh.added("indigo"),
        "the first napkins are paler": overlimed.washed(last=4).max() < 0.8 * fresh.washed().min(),
        "they take less of the leuco there is": overlimed.uptake(0) < 0.93 * fresh.uptake(first_fresh),
        "the pH is higher": overlimed.dips["ph"][0] > fresh.dips["ph"][first_fresh] + 0.1,
        "the bed holds leuco back": overlimed.at("leuco_held", morning) / overlimed.at("leuco", morning) >
                                    2 * fresh.at("leuco_held", morning) / fresh.at("leuco", morning),
        "sugar brings the pH down": overlimed.dips["ph"][late] < overlimed.dips["ph"][0] - 0.1,
        "although lime still lies there": overlimed.at("lime_solid", 4 * DAY) > 200,
        "then they take more of the leuco there is": overlimed.uptake(late) > 1.05 * overlimed.uptake(0),
        "the later napkins are darker": overlimed.washed(first=5).min() > 1.4 * overlimed.washed(last=4).max(),
    }


def feeding_weekly(weekly, often):
    day = weekly.dips["time"] // DAY % 7 # 0 on Mondays
    tuesday, saturday = (weekly.dips["leuco"][(day == which) & (weekly.dips["time"] > 7 * DAY)] for which in (1, 5))
    return {
        "the same cloth and dips": weekly.cloth() == often.cloth(),
        "the same sugar and lime":
            all(abs(weekly.added(name) - often.added(name)) < 1e-6 for name in ("hexose", "lime")),
        "by Saturday the leuco is down": saturday.mean() < 0.6 * tuesday.mean(),
        "many tired days": weekly.share("tired", "sugar_spent") > 0.15,
        "many more than when fed after each session":
            weekly.share("tired", "sugar_spent") > 3 * often.share("tired", "sugar_spent"),
        "the palest covers are paler": weekly.washed().min() < 0.75 * often.washed().min(),
    }


def feeding_each_session(often):
    return {
        "seldom tired": often.share("tired", "sugar_spent") < 0.1,
        "lime ends unused in the bed": often.series["lime_solid"][-1] > 30,
    }


def feeding_by_rule(rule, often, weekly):
    return {
        "the same cloth and dips": rule.cloth() == often.cloth(),
        "less lime than after each session": rule.added("lime") < 0.9 * often.added("lime"),
        "a little more sugar": often.added("hexose") < rule.added("hexose") < 1.5 * often.added("hexose"),
        "covers at least as blue": rule.washed().mean() > often.washed().mean() and
                                   rule.washed().min() > often.washed().min(),
        "less tired than when fed once a week":
            rule.share("tired", "sugar_spent") < weekly.share("tired", "sugar_spent"),
        "rules are both followed and let be": rule.done("add") > 5 and rule.skipped() > 10,
    }


def finishing_day(day):
    aired, hasty, bound, linen, silk = range(5)
    pieces = day.pieces

    def mean(column, kind):
        return float(pieces[column][pieces["kind"] == kind].mean())

    strips = day.events["reading_strip"]
    asked = strips == strips # not a NaN: a strip was read
    outer_share = 0.4 # folded_outer_share in models/sugar-lime.conf
    inner = mean("inner", bound) / (1 - outer_share)
    outer = (mean("sorbed", bound) - mean("inner", bound)) / outer_share
    return {
        "the same dips for both lots": mean("dips", aired) == mean("dips", hasty) == 3,
        "under the tap at once they stay paler": mean("owf_washed", hasty) < 0.95 * mean("owf_washed", aired),
        "and more goes down the drain": mean("rinsed_off", hasty) > 1.08 * mean("rinsed_off", aired),
        "the bound scarves are paler inside": inner < 0.75 * outer,
        "washed cloth is as was foretold": all(abs(mean("owf", kind) - mean("owf_washed", kind)) < 1e-9
                                               for kind in (aired, hasty, bound, silk)),
        "unwashed linen still holds dye that will come off": mean("owf", linen) > 1.05 * mean("owf_washed", linen),
        "silk takes up well in one short dip": mean("owf_washed", silk) > 0.2,
        "although such liquor harms it": mean("highest_ph", silk) > 10,
        "the strip feeds when it is pale and only then":
            ((strips[asked] < 3.0) == (day.events["done"][asked] > 0)).all(),
        "on some of the occasions": 0 < day.done("add") < asked.sum(),
        "what pieces lost is what rinse water holds":
            abs(float((pieces["rinsed_off"] * pieces["mass"]).sum()) + day.ledgers["indigo"]["rinsed_off"]) < 1e-6,
    }


def barrel_of_towels(barrel):
    done_at = barrel.pieces["done_at"]
    return {
        "every towel comes to light blue": (done_at == done_at).all() and (barrel.pieces["target"] == 3).all(),
        "and is as blue as that when washed": (barrel.pieces["shade"] >= barrel.pieces["target"]).all(),
        "none is dipped on beyond need": barrel.pieces["dips"].max() <= 6,
        "the last on day 9": 8 <= done_at.max() / 86400 < 9,
        "and there the run ends": barrel.series["time"].max() < 9 * 86400,
        "ready from the first session on": barrel.first_ready() < 86400 and barrel.share("ready") > 0.9,
    }


def studio_bucket(bucket):
    return {
        "ready on the first day": bucket.first_ready() < 12 * 3600,
        "and still when it is dipped on the second": bucket.share("ready") > 0.8,
        "warm until then": bucket.at("temperature", 25 * 3600) > 34,
        "three dips of four bandanas": bucket.cloth()[1] == 12,
    }


def advice_cold(cold):
    return {
        "left alone it stays cold": max(cold.series["temperature"]) < 15,
        "and is not to be dyed in": cold.share("ready") == 0,
        "though its indigo is there": cold.ledgers["indigo"]["initial"] > 0.99 * 110 * 0.38,
    }


def advice_thirsty(thirsty):
    return {"left alone it stays short of lime": thirsty.share("lime_short") > 0.9}


def advice_suspect(suspect):
    return {"left alone it does not come": suspect.share("ready") == 0}


def advice_last(last):
    return {"there is too little indigo in it": last.share("indigo_spent") > 0.9}


# The scenario asked, the claims, and the other scenarios that they compare with. A scenario that is compared with in
# another's claims needs none of its own.
CLAIMS = {
    "fresh-vat": (fresh_vat, ()),
    "valley-sashes": (valley_sashes, ()),
    "month-asleep": (month_asleep, ()),
    "finishing-day": (finishing_day, ()),
    "careless": (careless, ("careful",)),
    "careful": (None, ()),
    "cold-shed": (cold_shed, ("warm-room",)),
    "warm-room": (None, ()),
    "overlimed": (overlimed, ("fresh-vat",)),
    "feeding-each-session": (feeding_each_session, ()),
    "feeding-weekly": (feeding_weekly, ("feeding-each-session",)),
    "feeding-by-rule": (feeding_by_rule, ("feeding-each-session", "feeding-weekly")),
    "barrel-of-towels": (barrel_of_towels, ()),
    "studio-bucket": (studio_bucket, ()),
    "advice-cold": (advice_cold, ()),
    "advice-thirsty": (advice_thirsty, ()),
    "advice-suspect": (advice_suspect, ()),
    "advice-last": (advice_last, ()),
    **FERMENTATION_CLAIMS,
    **WORKSHOP_CLAIMS,
}
