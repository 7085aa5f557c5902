"""What the shipped scenarios of fermented vats say they teach; see claims.py, which joins these to its own."""
HOUR = 3600.0
DAY = 86400.0


def bran_unseeded(bare, seeded):
    return {
        "seeded: ready on the third day": seeded.first_ready() < 3 * DAY,
        "from scratch: after about a week": 5 * DAY < bare.first_ready() < 14 * DAY,
        "so little life to begin with": bare.series["cells"][0] < 0.2,
        "it ends as alive": bare.series["cells"][-1] > 0.5 * seeded.series["cells"][-1],
        "the first scarf tells them apart": seeded.washed(first=1, last=1).max() > 3 * bare.washed(first=1, last=1).max(),
        "the last does not": bare.washed(first=5, last=5).min() > 0.5 * seeded.washed(first=5, last=5).min(),
    }


def bran_half_year(vat):
    late = vat.series["time"] > 20 * 7 * DAY
    cold = (vat.series["time"] > 32 * DAY) & (vat.series["time"] < 36 * DAY)
    return {
        "half a year": vat.series["time"][-1] >= 26 * 7 * DAY - 1,
        "alive at the end": vat.series["cells"][-1] > 20,
        "ready for most of it": vat.share("ready") > 0.7,
        "never sour": vat.series["ph"].min() > 9.0 and vat.series["spoilers"].max() < 5,
        "still reducing in the last weeks": vat.series["leuco"][late].min() > 0.1,
        "the cold week is a doze": vat.series["ph_fall"][cold].mean() < 0.5 * vat.series["ph_fall"][~cold].mean(),
        "all napkins are dyed": (vat.pieces["dips"] == 3).all(),
        "the last as well as half of the first": vat.washed(first=89).min() > 0.5 * vat.washed(last=8).max(),
        "food is acid": -vat.ledgers["feed"]["to_lactate"] > 0.3 * vat.added("feed"),
    }


def souring_lost(lost, saved):
    return {
        "the same until the feast": abs(lost.at("ph", 7 * DAY) - saved.at("ph", 7 * DAY)) < 0.01,
        "acid within two days": lost.at("ph", 11 * DAY) < 8.5,
        "spoilers take over": lost.series["spoilers"].max() > 100 > 10 > saved.series["spoilers"].max(),
        "and kill": lost.series["cells"][-1] < 1 < saved.series["cells"][-1],
        "putrid": lost.share("putrid") > 0.5 and saved.share("putrid") == 0,
        "the leuco is gone": lost.series["leuco"][-1] < 0.01,
        "dye is eaten": lost.ledgers["indigo"]["destroyed"] < 5 * saved.ledgers["indigo"]["destroyed"],
        "saved with a few doses": 3 <= saved.done("add") - 1 <= 20,
        "and better than before": saved.at("leuco", 14 * DAY) > 1.2 * saved.at("leuco", 6 * DAY),
    }


def leaf_overdyed(over, ration):
    first = over.dips["dip"] == 1
    steady = ration.dips["dip"] == 1
    took, kept = over.dips["sorbed"][first], ration.dips["sorbed"][steady]
    return {
        "four times the cloth-dips": over.cloth()[1] > 3.5 * ration.cloth()[1],
        "paler within four days": took[3] < 0.9 * took[0],
        "half gone after two weeks": took[14] < 0.65 * took[0],
        "the ration is steady for a month": kept[14] > 0.7 * kept[0],
        "not four times the dye on cloth": over.ledgers["indigo"]["sorbed_by_cloth"] > 2.8 * ration.ledgers["indigo"]["sorbed_by_cloth"],
        "air takes the larger part": 2 * -over.ledgers["oxygen"]["took_leuco"] / 32 * 262.3 > -over.ledgers["indigo"]["sorbed_by_cloth"],
    }


FERMENTATION_CLAIMS = {
    "bran-unseeded": (bran_unseeded, ("bran-seeded",)),
    "bran-seeded": (None, ()),
    "bran-half-year": (bran_half_year, ()),
    "souring-lost": (souring_lost, ("souring-saved",)),
    "souring-saved": (None, ()),
    "leaf-overdyed": (leaf_overdyed, ("leaf-ration",)),
    "leaf-ration": (None, ()),
}
