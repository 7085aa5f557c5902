/* words.js: what the page says: groups of series, states and what to do about them, actions. */
const CHART_GROUPS = [
  { id: "looks", name: "How it looks", charts: [
    { id: "film", title: "Film on the surface", percent: true, zero: true, series: [["film_cover", "surface covered"]] },
    { id: "cloud", title: "Cloudiness", zero: true, series: [["turbidity", "suspended solids"]] },
    { id: "bed", title: "Bed on the bottom", zero: true, series: [["bed_depth", "depth of the bed"]] } ] },
  { id: "strong", name: "How strong it is", charts: [
    { id: "indigo", title: "Indigo in the liquor", zero: true, series: [["leuco", "leuco, ready to dye"],
      ["leuco_held", "leuco, held by sediment"], ["indigo_suspended", "blue, suspended"]] },
    { id: "reduced", title: "How much of the indigo is reduced", percent: true, zero: true,
      series: [["reduced_share", "share reduced"]] },
    { id: "redox", title: "Redox potential", series: [["orp", "against Ag/AgCl"]] } ] },
  { id: "alkaline", name: "How alkaline it is", charts: [
    { id: "ph", title: "pH", series: [["ph", "pH of the liquor"], ["ph_meter", "what a plain meter shows"]] },
    { id: "lime", title: "Lime", zero: true, series: [["lime_solid", "lime undissolved"], ["chalk", "chalk"]] } ] },
  { id: "warm", name: "How warm it is", charts: [
    { id: "warmth", title: "Temperature", series: [["temperature", "liquor"], ["air_temperature", "air"]] } ] },
  { id: "left", name: "What is left", charts: [
    { id: "sugar", title: "Sugar", zero: true, series: [["hexose", "sugar, all"], ["fructose", "fructose"],
      ["glucose", "glucose"]] },
    { id: "volume", title: "Liquor in the vessel", series: [["volume", "volume"]] },
    { id: "air", title: "Oxygen in the liquor", zero: true, series: [["oxygen", "dissolved oxygen"]] },
    { id: "cloth", title: "Cloth dyed so far", zero: true, series: [["cloth_dips", "cloth times dips"]] } ] },
];

/* The people of a workshop; `shop` charts take their series from its day. */
const SHOP_CHARTS = [
  { id: "line", title: "People in line for a place", shop: true, zero: true, series: [["waiting", "on the day shown"],
    ["waiting_half", "half of all days"], ["waiting_nine", "nine days in ten"]] },
  { id: "places", title: "Places taken in the vats", shop: true, zero: true, series: [["soaking", "on the day shown"],
    ["soaking_half", "half of all days"]] },
  { id: "crowd", title: "People who still have cloth to dye", shop: true, zero: true, series: [["people", "on the day shown"],
    ["people_half", "half of all days"]] },
  { id: "means", title: "Lines, tubs and helpers in use", shop: true, zero: true, series: [["hanging", "pieces that hang"],
    ["rinsing", "tubs"], ["helping", "helpers"]] },
];

/* A diagnosis: how it is said, what kind of time it is (its pattern in the ribbon), and what to do next; where
 * measures differ they stand as [metric|kitchen]. Doses: 0.5 to 2 g of sugar and 0.3 to 1 g of lime a litre, common practice. */
const STATES = {
  "ready": ["ready", "ready", "Ready to dye. Warm it gently on the morning of a session, dip clean wetted-out cloth, feed a little sugar when the work is done, and keep the lid on."],
  "tired": ["tired", "weary", "Tired. Stop for the day. Warm it, give about [1 g of sugar for each litre|1 teaspoon of sugar for each gallon] when the pH is right (lime first when the pH is below 10.5), stir once slowly and let it rest; ask again with a swatch."],
  "oxidised": ["oxidised", "trouble", "Too much air got in. Take the cloth out, warm the vat, give [1 to 2 g of sugar for each litre|1 to 2 teaspoons of sugar for each gallon], cover it and leave it alone for some hours. Look for green liquor and a film before you dip."],
  "sugar_spent": ["sugar spent", "trouble", "The sugar is used up. Give [1 to 2 g of sugar for each litre|1 to 2 teaspoons of sugar for each gallon], stir once slowly, cover and wait some hours."],
  "lime_short": ["lime short", "trouble", "Short of lime. Stir about [half a gram of slaked lime for each litre|three quarters of a teaspoon of slaked lime for each gallon] into a little water, add it slowly, wait an hour and measure again. One correction for each rest."],
  "lime_heavy": ["lime heavy", "weary", "Too much lime. Add no more; feed sugar, let it settle well, and dip in the clear liquor above the bed. Sour the cloth afterwards."],
  "over_reduced": ["over-reduced", "weary", "Stronger in reduction than it needs. No more sugar for now; leave the lid off for a while or dip more cloth, and keep the dips short."],
  "too_cold": ["too cold", "weary", "Too cold to work. Warm it slowly to between [30 and 40 °C|86 and 104 °F] and wait until it is warm through."],
  "indigo_spent": ["indigo spent", "trouble", "Little indigo is left. Add pigment, wetted and ground to a smooth paste, with sugar and lime to match, and give it a day."],
  "stirred_up": ["stirred up", "rest", "The bed is stirred up. Wait one to three hours until it has settled, or hang a net above the bed."],
  "starting": ["starting", "rest", "Still coming on. Keep it warm and covered, stir slowly now and then, and wait for the bronze film."],
  "frozen": ["frozen", "trouble", "Frozen. Let it thaw slowly indoors, warm it, and judge it afresh."],
};

const LOOKS = {
  "unknown": "", "blue": "blue, no film", "green": "green, no film",
  "faint_bronze": "yellow-green under a faint bronze film", "bronze": "amber under a bronze film",
};

/* Actions of a person or of the vat: their mark in the ribbon and their words. Those missing are not marked. */
const ACTIONS = {
  "dip": ["dip", "dip"], "add": ["add", "added"], "top_up": ["add", "topped up"], "stir": ["stir", "stirred"],
  "heat": ["heat", "heater on"], "heat_off": ["heat", "heater off"], "heater_reached": ["heat", "warm enough"],
  "read": ["read", "read"], "skim": ["take", "skimmed"], "rack": ["take", "racked off"], "cover": ["keep", "lid"],
  "wrap": ["keep", "wrapped"], "move": ["keep", "moved"], "overflow": ["take", "ran over"], "rinse": ["cloth", "rinsed"],
  "sour": ["cloth", "soured"], "wash": ["cloth", "washed"], "cloth_out": ["cloth", "cloth out"],
};
const MARKS = { dip: "dipped", add: "added or topped up", stir: "stirred", heat: "warmed" };

/* Kind, title, what of; those of a live vat, which has feed and alkali in place of sugar and lime; whether runs are compared by it. */
const LEDGERS = [
  ["indigo", "Where the indigo went", "of indigotin", true], ["hexose", "Where the sugar went", "of sugar", true],
  ["feed", "Where the feed went", "of feed, as sugar", true], ["lime", "Where the lime went", "of lime", true],
  ["alkali", "Where the alkali went", "of alkali, as soda", true], ["oxygen", "Where the oxygen of the air went", "of oxygen"],
  ["water", "Where the water went", "of water"],
];

const CARE_LIME = "Lime burns eyes and skin: sealed goggles, gloves, lime into water and never water onto dry lime.";
const CARE_ALWAYS = "Hot liquor scalds. Before you throw liquor or sediment away, ask what your local rules say; they come first, as does licensed advice.";
