# page.cmake: the page of the report and the charting library that it uses, put into a library as bytes.

# dygraphs draws the charts of the page; Debian's libjs-dygraphs holds it. Another place: -DDYGRAPHS_FOLDER=...
find_path(DYGRAPHS_FOLDER dygraph.min.js
    HINTS /usr/share/javascript/dygraphs /usr/share/nodejs/dygraphs/dist NO_DEFAULT_PATH
    DOC "Folder of dygraph.min.js and dygraph.min.css" REQUIRED)

function(vatcast_embed_page target)
    file(GLOB page CONFIGURE_DEPENDS "${PROJECT_SOURCE_DIR}/src/record/page/*")
    set(parts ${page} "${DYGRAPHS_FOLDER}/dygraph.min.js" "${DYGRAPHS_FOLDER}/dygraph.min.css")
    set(made "${PROJECT_BINARY_DIR}/page_parts.c")
    add_custom_command(OUTPUT "${made}"
        COMMAND sh "${PROJECT_SOURCE_DIR}/tools/embed_files.sh" "${made}" ${parts}
        DEPENDS ${parts} "${PROJECT_SOURCE_DIR}/tools/embed_files.sh"
        COMMENT "Embedding the page of the report" VERBATIM)
    target_sources(${target} PRIVATE "${made}")
endfunction()
