/* number_lanes_kind.h: the types and functions behind number_lanes.h, for one kind of processor: included after it, once for each. No
 * include guard. */
typedef double OF(numbers) __attribute__((vector_size(WIDTH * sizeof(double))));
typedef int64_t OF(marks) __attribute__((vector_size(WIDTH * sizeof(int64_t))));

ON static inline void OF(take_root)(NUMBER *to, const NUMBER *of)
{
    NUMBER found = *of;
    for (int lane = 0; lane < WIDTH; lane++) {
        found[lane] = sqrt(found[lane]);
    }
    *to = found;
}

ON static inline void OF(take_exponential)(NUMBER *to, const NUMBER *of)
{
    NUMBER found = *of;
    for (int lane = 0; lane < WIDTH; lane++) {
        found[lane] = exp(found[lane]);
    }
    *to = found;
}

ON static inline bool OF(is_any)(const MARKS *marked)
{
    int64_t any = 0;
    for (int lane = 0; lane < WIDTH; lane++) {
        any |= (*marked)[lane];
    }
    return any != 0;
}
