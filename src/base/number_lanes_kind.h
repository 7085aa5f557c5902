/* number_lanes_kind.h: the functions behind number_lanes.h, for each kind of processor: included after it, once for each OF. No include guard. */
ON static inline void OF(take_root)(lane_numbers *to, const lane_numbers *of)
{
    lane_numbers found = *of;
    for (int lane = 0; lane < LANES; lane++) {
        found[lane] = sqrt(found[lane]);
    }
    *to = found;
}

ON static inline void OF(take_exponential)(lane_numbers *to, const lane_numbers *of)
{
    lane_numbers found = *of;
    for (int lane = 0; lane < LANES; lane++) {
        found[lane] = exp(found[lane]);
    }
    *to = found;
}

ON static inline bool OF(is_any)(const lane_marks *marked)
{
    int64_t any = 0;
    for (int lane = 0; lane < LANES; lane++) {
        any |= (*marked)[lane];
    }
    return any != 0;
}
