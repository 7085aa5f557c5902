# compiler.cmake: language, warnings and sanitizers, carried by the interface target vatcast_settings.
add_library(vatcast_settings INTERFACE)
set(CMAKE_C_STANDARD 17)
set(CMAKE_C_STANDARD_REQUIRED ON)
set(CMAKE_C_EXTENSIONS OFF)

target_include_directories(vatcast_settings INTERFACE "${PROJECT_SOURCE_DIR}/src")
target_compile_definitions(vatcast_settings INTERFACE _POSIX_C_SOURCE=200809L VATCAST_VERSION="${PROJECT_VERSION}")

# A run gives the same bits on every machine of a kind: no contraction into fused operations, no relaxed arithmetic.
# What is not asked for may be left out: nothing here reads errno after a square root, or traps.
# Nobody replaces a function of ours at load time, so calls between them may be inlined in position-independent code too.
target_compile_options(vatcast_settings INTERFACE -ffp-contract=off -fno-math-errno -fno-trapping-math -fno-semantic-interposition
    -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wstrict-prototypes -Wmissing-prototypes)
if(VATCAST_WERROR)
    target_compile_options(vatcast_settings INTERFACE -Werror)
endif()

if(VATCAST_SANITIZE)
    # -O1: sanitized runs of many weeks take a fifth of the time they take unoptimised.
    target_compile_options(vatcast_settings INTERFACE
        -O1 -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer)
    target_link_options(vatcast_settings INTERFACE -fsanitize=address,undefined)
    if(VATCAST_FUZZ)
        target_compile_options(vatcast_settings INTERFACE -fsanitize=fuzzer-no-link)
    endif()
else()
    target_compile_options(vatcast_settings INTERFACE -fstack-protector-strong)
    target_compile_options(vatcast_settings INTERFACE $<$<CONFIG:Release,RelWithDebInfo>:-U_FORTIFY_SOURCE>
        $<$<CONFIG:Release,RelWithDebInfo>:-D_FORTIFY_SOURCE=2>)
endif()
