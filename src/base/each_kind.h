/* each_kind.h: includes the file that LANES_BODY names once for each kind of processor, with OF, ON and WIDTH set; after
 * number_lanes.h. What it makes is listed by LANES_EACH of lanes.h. No include guard. */
#define OF(name) plain_##name
#define ON
#define WIDTH LANES_PLAIN_WIDTH
#include LANES_BODY
#undef OF
#undef ON
#undef WIDTH

#ifdef LANES_ON_WIDE
#define OF(name) wide_##name
#define ON LANES_ON_WIDE
#define WIDTH LANES_WIDE_WIDTH
#include LANES_BODY
#undef OF
#undef ON
#undef WIDTH

#define OF(name) widest_##name
#define ON LANES_ON_WIDEST
#define WIDTH LANES_WIDEST_WIDTH
#include LANES_BODY
#undef OF
#undef ON
#undef WIDTH
#endif
