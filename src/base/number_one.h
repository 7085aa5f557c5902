/* number_one.h: what lanes.h lists, for one number. OF and ON are set by who includes it. No include guard. */
#define NUMBER double
#define MARKS int
#define SIZE(a) fabs(a)
#define TAKE_ROOT(to, a) ((to) = sqrt(a))
#define TAKE_EXPONENTIAL(to, a) ((to) = exp(a))
#define IS_MORE(a, b) (-((a) > (b)))
#define IS_LESS(a, b) (-((a) < (b)))
#define CHOOSE(marks, a, b) ((marks) != 0 ? (a) : (b))
#define IS_ANY(marks) ((marks) != 0)
#define PART(tag, of, member) ((of)->member)
#define IS_SAME(a, b) (-((a) == (b)))
#define LARGER(a, b) ((a) > (b) ? (a) : (b))
#define SMALLER(a, b) ((a) < (b) ? (a) : (b))
