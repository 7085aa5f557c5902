/* number_lanes.h: what lanes.h lists, for LANES numbers side by side. OF and ON are set by who includes it. No include guard. */
#define NUMBER lane_numbers
#define MARKS lane_marks
#define SIZE(a) ((lane_numbers)((lane_marks)(a)&INT64_MAX))
#define TAKE_ROOT(to, a) OF(take_root)(&(to), &(a))
#define TAKE_EXPONENTIAL(to, a) OF(take_exponential)(&(to), &(a))
#define IS_MORE(a, b) ((a) > (b))
#define IS_LESS(a, b) ((a) < (b))
#define CHOOSE(marked, a, b) ((lane_numbers)(((lane_marks)(a) & (marked)) | ((lane_marks)(b) & ~(marked))))
#define IS_ANY(marked) OF(is_any)(&(marked))
#define PART(tag, of, member) ((of)[offsetof(struct tag, member) / sizeof(double)])
#define IS_SAME(a, b) ((a) == (b))
#define LARGER(a, b) CHOOSE(IS_MORE(a, b), a, b)
#define SMALLER(a, b) CHOOSE(IS_LESS(a, b), a, b)
