/* number_none.h: takes back what number_one.h or number_lanes.h set, and OF and ON. No include guard. */
#undef NUMBER
#undef MARKS
#undef SIZE
#undef TAKE_ROOT
#undef TAKE_EXPONENTIAL
#undef IS_MORE
#undef IS_LESS
#undef CHOOSE
#undef IS_ANY
#undef PART
#undef OF
#undef ON
#undef IS_SAME
#undef LARGER
#undef SMALLER
